//! A plugin's source as somebody has to read it: numbered lines, what is not seen written out, and the places at which a
//! limit could be loosened without its table saying so. Must not judge them.

/// A line of the source that asks for a look.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub(crate) struct Place {
    /// Its number, from 1.
    pub line: usize,
    /// The line.
    pub text: String,
}

/// Places of one sort.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub(crate) struct Places {
    /// What they have in common.
    pub what: &'static str,
    /// The lines.
    pub lines: Vec<Place>,
}

/// What a sort of places has in common, whether a line is one, and whether that is asked of its code alone.
type Sort<'a> = (&'static str, &'a dyn Fn(&str) -> bool, bool);

/// Where to look twice.
pub(crate) fn places(source: &str) -> Vec<Places> {
    let numbers = |code: &str| numbers_of(code).iter().any(|n| !matches!(n.as_str(), "0" | "1" | "2"));
    let beside = |code: &str| code.contains("limit(") && code.chars().any(|c| matches!(c, '*' | '/' | '+'));
    let by_name = |code: &str| ["jig.name", "jig.file", "jig:part("].iter().any(|word| code.contains(word));
    let hidden = |line: &str| line.chars().any(|c| c != '\t' && crate::quantity::hidden(c));
    let sorts: [Sort; 4] = [
        ("numbers typed into the code: each is a limit that no table names, or needs a reason", &numbers, true),
        ("a limit that is changed where it is used", &beside, true),
        ("what depends on the name of a jig or a part", &by_name, true),
        ("characters that are not seen", &hidden, false),
    ];
    sorts
        .into_iter()
        .map(|(what, is, code_only)| Places {
            what,
            lines: source
                .lines()
                .enumerate()
                .filter(|(_, line)| if code_only { is(&code_of(line)) } else { is(line) })
                .map(|(k, line)| Place { line: k + 1, text: line.trim().to_string() })
                .collect(),
        })
        .collect()
}

/// A line without its comment and without what stands between quotes.
fn code_of(line: &str) -> String {
    let (mut code, mut quote, mut escaped) = (String::new(), None, false);
    let mut rest = line.chars().peekable();
    while let Some(c) = rest.next() {
        match quote {
            Some(_) if escaped => escaped = false,
            Some(_) if c == '\\' => escaped = true,
            Some(q) if c == q => {
                quote = None;
                code.push(c);
            }
            Some(_) => {}
            None if c == '-' && rest.peek() == Some(&'-') => break,
            None => {
                if matches!(c, '"' | '\'' | '`') {
                    quote = Some(c);
                }
                code.push(c);
            }
        }
    }
    code
}

/// The numbers of a piece of code, without those that are part of a name.
fn numbers_of(code: &str) -> Vec<String> {
    let mut all = vec![];
    let mut word = String::new();
    for c in code.chars().chain([' ']) {
        if c.is_alphanumeric() || matches!(c, '_' | '.') {
            word.push(c);
        } else {
            let number = word.trim_end_matches('.');
            if number.starts_with(|c: char| c.is_ascii_digit()) || number.starts_with('.') && number.len() > 1 {
                all.push(number.to_string());
            }
            word.clear();
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(source: &str) -> Vec<usize> {
        places(source).iter().map(|p| p.lines.len()).collect()
    }

    #[test]
    fn what_could_loosen_a_limit_is_listed_and_its_twin_is_not() {
        assert_eq!(told("if volts > limit(\"over-volts\") then"), [0, 0, 0, 0]);
        assert_eq!(told("if volts > limit(\"over-volts\") * k then"), [0, 1, 0, 0]);
        assert_eq!(told("if volts > 90 then"), [1, 0, 0, 0]);
        assert_eq!(told("local R12, n = parts[1], 2 -- at 90 V"), [0, 0, 0, 0]);
        assert_eq!(told("local text = \"above 90 V\""), [0, 0, 0, 0]);
        assert_eq!(told("if jig.name == \"Bench\" then return {} end"), [0, 0, 1, 0]);
        assert_eq!(told("-- \u{202e}reversed"), [0, 0, 0, 1]);
        assert_eq!(told("local x = 1e3 + .5 + 0x10"), [1, 0, 0, 0]);
    }
}
