//! Words of cord-cores.

use crate::finding::said::CordCores;

pub(super) fn words(s: CordCores) -> (String, String) {
    let (message, remedy) = match s {
        CordCores::TooFew => (
            "a cord of fewer than two cores cannot bring both poles",
            "use a two-core cord for class II, a three-core cord for class I",
        ),
        CordCores::NoEarth => (
            "a two-core cord brings no protective earth, which this box depends on",
            "use a three-core cord, its green-and-yellow core on PE",
        ),
        CordCores::NotStated { earth: true } => (
            "the file does not say how many cores the cord has, so nothing shows that the earth reaches the box",
            "write cores = 3 in cord when its green-and-yellow core is on PE",
        ),
        CordCores::NotStated { earth: false } => {
            ("the file does not say how many cores the cord has", "write cores = 2 (or 3) in cord")
        }
    };
    (message.into(), remedy.into())
}
