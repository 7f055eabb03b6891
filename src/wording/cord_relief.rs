//! Words of cord-relief.

use crate::finding::said::CordRelief;

pub(super) fn words(s: CordRelief) -> (String, String) {
    let clamp = "clamp the cord's sheath where it enters the box and write strain-relief = true in cord";
    let (message, remedy) = match s {
        CordRelief::NoCord => (
            "the file says nothing of the cord, so neither its size nor its strain relief is known",
            "write cord = { area = …, length = …, cores = …, strain-relief = … }",
        ),
        CordRelief::Missing => (
            "the cord has no strain relief: a pull ends on the joints, and a live core that comes off lands anywhere",
            clamp,
        ),
        CordRelief::NotStated => ("the file does not say whether the cord has a strain relief", clamp),
    };
    (message.into(), remedy.into())
}
