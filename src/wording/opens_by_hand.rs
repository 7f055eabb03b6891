//! Words of opens-by-hand.

pub(super) fn words() -> (String, String) {
    (
        "the box opens by hand, and everything live in it is then within reach".into(),
        "close it with screws that take a tool, and write opens-with = \"tool\"".into(),
    )
}
