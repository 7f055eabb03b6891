//! Names told one after another. Must not know what they name.

/// How many names are told before the rest is only counted.
const TOLD: usize = 3;

/// "R1", "R1 and R2", "R1, R2 and R3"; of a longer list the first three and how many more. Empty for no name.
pub(crate) fn list(names: &[String]) -> String {
    if names.len() <= TOLD {
        return all(names);
    }
    let (first, rest) = names.split_at(TOLD);
    format!("{} and {} more", first.join(", "), rest.len())
}

/// Every name of a list, however long: "R1", "R1 and R2", "R1, R2 and R3". Empty for no name.
pub(crate) fn all(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::{all, list};

    #[test]
    fn a_list_of_any_length() {
        let names = ["a", "b", "c", "d", "e"].map(String::from);
        let both = |n: usize| (list(&names[..n]), all(&names[..n]));
        let told = |text: &str| (text.to_string(), text.to_string());
        assert_eq!(both(0), told(""));
        assert_eq!(both(1), told("a"));
        assert_eq!(both(2), told("a and b"));
        assert_eq!(both(3), told("a, b and c"));
        assert_eq!(both(4), ("a, b, c and 1 more".to_string(), "a, b, c and d".to_string()));
        assert_eq!(both(5), ("a, b, c and 2 more".to_string(), "a, b, c, d and e".to_string()));
    }
}
