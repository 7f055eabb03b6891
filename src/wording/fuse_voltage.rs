//! Words of fuse-voltage.

use crate::finding::said::FuseVoltage;

pub(super) fn words(s: &FuseVoltage) -> (String, String) {
    match s {
        FuseVoltage::Open { part, volts, limit, on_mains } => (
            format!("once it has blown {part} has {volts} across it; it is made for {limit}: the arc does not go out"),
            if *on_mains {
                "use a fuse rated for at least the nominal supply (250 V types serve 230 V)".into()
            } else {
                format!("use one rated for at least {volts} (of d.c.: a type that states them)")
            },
        ),
        FuseVoltage::Direct { part, volts, limit, stated } => (
            format!(
                "once it has blown {part} has {volts} d.c. across it; {} {limit} d.c.: the arc may not go out",
                if *stated { "it is made for" } else { "of its kind, made for a.c., one breaks some" }
            ),
            format!("use a fuse that states {volts} d.c. or more and write dc-voltage, or fuse the a.c. side"),
        ),
    }
}
