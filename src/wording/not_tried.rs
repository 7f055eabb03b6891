//! What to say when a condition is asked for that was not tried: what is wrong, and what to write instead.

/// There is none of that number.
pub(crate) fn number(wanted: &str, tried: usize) -> (String, String) {
    (
        format!("there is no condition {wanted}: {tried} were tried"),
        "take a number from the list that --conditions prints".into(),
    )
}

/// There is no fault of that name; `near` is the likest of `names`.
pub(crate) fn name(wanted: &str, near: &str, names: &[&str]) -> (String, String) {
    (
        format!("no fault of this jig is called {wanted:?}"),
        format!("did you mean {near}? Its faults: {}", names.join(", ")),
    )
}
