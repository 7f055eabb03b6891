//! Protective devices in words.

use crate::survey::model::{Model, ProtectorKind};

/// The name of a device, by its index in the model: a part's own, or what it is.
pub(crate) fn name(model: &Model, protector: usize) -> &str {
    match model.protectors.get(protector).map(|p| &p.kind) {
        Some(ProtectorKind::Fuse(item) | ProtectorKind::Fusible(item) | ProtectorKind::Thermal(item, _)) => {
            &model.items[*item].name
        }
        Some(ProtectorKind::PlugFuse(_)) => "plug fuse",
        Some(ProtectorKind::Breaker(..)) => "branch breaker",
        Some(ProtectorKind::Rcd(..)) => "residual-current device",
        None => "?",
    }
}

/// The same within a sentence: a part's own name takes no article, "the branch breaker" does.
pub(crate) fn in_a_sentence(model: &Model, protector: usize) -> String {
    let name = name(model, protector);
    match model.protectors.get(protector).map(|p| &p.kind) {
        None | Some(ProtectorKind::Fuse(_) | ProtectorKind::Fusible(_) | ProtectorKind::Thermal(..)) => {
            name.to_string()
        }
        Some(ProtectorKind::PlugFuse(_) | ProtectorKind::Breaker(..) | ProtectorKind::Rcd(..)) => format!("the {name}"),
    }
}
