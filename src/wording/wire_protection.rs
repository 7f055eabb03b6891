//! Words of wire-protection.

use crate::finding::said::WireProtection;

pub(super) fn words(s: &WireProtection) -> (String, String) {
    match s {
        WireProtection::Earth { part, area, least } => (
            format!(
                "The earth wire {part} has {area}, thinner than the {least} of the cord: the fault current it is there for may melt \
                 it first"
            ),
            format!("use at least {least}, green-and-yellow"),
        ),
        WireProtection::Unfused { part, area, branch, least } => {
            let branch = branch.map_or_else(|| "the branch breaker".into(), |a| format!("{a} in the branch"));
            (
                format!("{part} ({area}) has no fuse in front of it but {branch}: a short behind it burns it out"),
                format!("put the fuse in front of it, or use at least {least}"),
            )
        }
        WireProtection::Fused { part, area, carries, fuse, lets_through } => (
            format!(
                "The {fuse} fuse in front of {part} may let {lets_through} through without end; {area} carries {carries}: the wire is \
                 the fuse"
            ),
            "use a thicker wire or a smaller fuse".into(),
        ),
    }
}
