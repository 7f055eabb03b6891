//! Words of earth-not-bonded.

use crate::finding::said::EarthNotBonded;

pub(super) fn words(s: &EarthNotBonded) -> (String, String) {
    match s {
        EarthNotBonded::Metal { touchable, net } => (
            format!("{touchable} is not on the protective earth: one insulation fault puts the mains on it"),
            format!(
                "run a green-and-yellow wire from PE to {net}: a [part.…] kind = \"wire\", across = [\"PE\", \"{net}\"]"
            ),
        ),
        EarthNotBonded::Contact { of, net } => (
            format!(
                "the earth contact of {of} ({net}) is not wired to PE: a case plugged in there stays without earth"
            ),
            format!(
                "run a green-and-yellow wire from PE to {net}: a [part.…] kind = \"wire\", across = [\"PE\", \"{net}\"]"
            ),
        ),
        EarthNotBonded::Box => (
            "nothing in the file joins the metal box to the protective earth".into(),
            "run a green-and-yellow wire from PE to the box, and name the box as [[touchable]] on that net".into(),
        ),
    }
}
