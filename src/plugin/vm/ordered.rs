//! Puts a look at the keys before each `for … in …`: keys that are tables or functions stand in the order of their addresses,
//! which change from run to run, and a plugin that walks over them would not find the same twice. Only words are read here, as
//! far as it takes to know where such a loop begins and where its `do` is. Must not know what a loop does.

/// Name of the function that looks, in the prelude.
const LOOK: &str = "__keys_with_an_order";

/// What is open at a place of the source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Open {
    /// Ends with `end`.
    Block,
    /// A loop whose `do` is still to come; whether its list of values was begun.
    Loop { looked: bool },
    /// Ends with `until`.
    Repeat,
    /// An `if` that is a value: its `else` ends what has to be known of it.
    Choice,
    /// A brace; whether a text goes on behind it.
    Brace { text: bool },
}

/// The source with each loop's values looked at. Its lines keep their numbers.
///
/// # Errors
/// The words do not fit together.
pub(super) fn watched(source: &str) -> Result<String, String> {
    if source.contains(LOOK) {
        return Err(format!("{LOOK} is a name of the program itself"));
    }
    let mut reader = Reader { source, at: 0, copied: 0, out: String::new(), open: vec![], before: Before::Statement };
    reader.run()?;
    reader.copy(source.len());
    Ok(reader.out)
}

/// What stands before an `if`, from which it follows whether it is a statement or a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Before {
    Statement,
    Value,
}

struct Reader<'s> {
    source: &'s str,
    at: usize,
    copied: usize,
    out: String,
    open: Vec<Open>,
    before: Before,
}

impl Reader<'_> {
    fn copy(&mut self, to: usize) {
        self.out.push_str(&self.source[self.copied..to]);
        self.copied = to;
    }

    fn rest(&self) -> &str {
        &self.source[self.at..]
    }

    fn run(&mut self) -> Result<(), String> {
        while let Some(c) = self.rest().chars().next() {
            match c {
                '-' if self.rest().starts_with("--") => self.comment(),
                '"' | '\'' => self.quoted(c),
                '`' => {
                    self.at += 1;
                    self.interpolated();
                }
                '[' if self.bracket_length().is_some() => self.long(),
                '{' => self.begin(Open::Brace { text: false }, Before::Value),
                '}' => self.brace_ends()?,
                c if c.is_ascii_alphabetic() || c == '_' => self.word()?,
                c if c.is_whitespace() => self.at += c.len_utf8(),
                c if c.is_ascii_digit() => self.number(),
                _ => {
                    let ends_a_value = matches!(c, ')' | ']' | ';');
                    self.before = if ends_a_value { Before::Statement } else { Before::Value };
                    self.at += c.len_utf8();
                }
            }
        }
        Ok(())
    }

    fn begin(&mut self, what: Open, before: Before) {
        self.open.push(what);
        self.before = before;
        self.at += 1;
    }

    fn skip_to(&mut self, end: &str) {
        self.at = self.rest().find(end).map_or(self.source.len(), |k| self.at + k + end.len());
    }

    fn number(&mut self) {
        let length = self.rest().find(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == '.'));
        self.at += length.unwrap_or(self.rest().len());
        self.before = Before::Statement;
    }

    /// Signs between the brackets that begin a long text here: `[==[` has two.
    fn bracket_length(&self) -> Option<usize> {
        let signs = self.rest().strip_prefix('[')?;
        let count = signs.len() - signs.trim_start_matches('=').len();
        signs[count..].starts_with('[').then_some(count)
    }

    fn long(&mut self) {
        let count = self.bracket_length().unwrap_or(0);
        self.skip_to(&format!("]{}]", "=".repeat(count)));
        self.before = Before::Statement;
    }

    fn comment(&mut self) {
        let before = self.before;
        self.at += 2;
        if self.bracket_length().is_some() {
            self.long()
        } else {
            self.skip_to("\n")
        }
        self.before = before;
    }

    fn quoted(&mut self, mark: char) {
        let mut chars = self.rest().char_indices().skip(1);
        let mut length = self.rest().len();
        while let Some((k, c)) = chars.next() {
            match c {
                '\\' => drop(chars.next()),
                c if c == mark => {
                    length = k + 1;
                    break;
                }
                _ => {}
            }
        }
        self.at += length;
        self.before = Before::Statement;
    }

    /// Goes through a text with values in it, to its end or to the next value.
    fn interpolated(&mut self) {
        let mut chars = self.rest().char_indices();
        while let Some((k, c)) = chars.next() {
            match c {
                '\\' => drop(chars.next()),
                '`' => {
                    self.at += k + 1;
                    self.before = Before::Statement;
                    return;
                }
                '{' => {
                    self.at += k;
                    return self.begin(Open::Brace { text: true }, Before::Value);
                }
                _ => {}
            }
        }
        self.at = self.source.len();
    }

    fn brace_ends(&mut self) -> Result<(), String> {
        self.at += 1;
        self.before = Before::Statement;
        match self.open.pop() {
            Some(Open::Brace { text: true }) => self.interpolated(),
            Some(Open::Brace { text: false }) => {}
            _ => return Err("a } does not fit".into()),
        }
        Ok(())
    }

    fn word(&mut self) -> Result<(), String> {
        let begin = self.at;
        let length = self.rest().find(|c: char| !(c.is_ascii_alphanumeric() || c == '_'));
        self.at += length.unwrap_or(self.rest().len());
        let word = &self.source[begin..self.at];
        let before = std::mem::replace(&mut self.before, Before::Statement);
        match word {
            "function" => self.open.push(Open::Block),
            "if" if before == Before::Value => {
                self.open.push(Open::Choice);
                self.before = Before::Value;
            }
            "if" => {
                self.open.push(Open::Block);
                self.before = Before::Value;
            }
            "then" | "elseif" if self.open.last() == Some(&Open::Choice) => self.before = Before::Value,
            "else" if self.open.last() == Some(&Open::Choice) => {
                self.open.pop();
                self.before = Before::Value;
            }
            "for" | "while" => {
                self.open.push(Open::Loop { looked: false });
                self.before = Before::Value;
            }
            "in" => {
                let Some(Open::Loop { looked }) = self.open.last_mut() else { return Err("an in does not fit".into()) };
                *looked = true;
                self.copy(self.at);
                self.out.push_str(&format!(" {LOOK}("));
                self.before = Before::Value;
            }
            "do" => match self.open.last() {
                Some(Open::Loop { looked }) => {
                    if *looked {
                        self.copy(begin);
                        self.out.push_str(") ");
                    }
                    self.open.pop();
                    self.open.push(Open::Block);
                }
                _ => self.open.push(Open::Block),
            },
            "repeat" => self.open.push(Open::Repeat),
            "until" if self.open.pop() == Some(Open::Repeat) => self.before = Before::Value,
            "end" if self.open.pop() == Some(Open::Block) => {}
            "until" | "end" => return Err(format!("an {word} does not fit")),
            "return" | "and" | "or" | "not" | "elseif" => self.before = Before::Value,
            _ => {}
        }
        Ok(())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_values_of_each_loop_are_looked_at_and_nothing_else_is_touched() {
        for (source, expected) in [
            ("for k, v in t do f(k) end", "for k, v in @( t ) do f(k) end"),
            ("for k=1,2 do for x in a, b do end end", "for k=1,2 do for x in @( a, b ) do end end"),
            ("-- in do\nfor k in t -- in\ndo end", "-- in do\nfor k in @( t -- in\n) do end"),
            ("s = 'for k in t do' .. [==[in do]]in]==]", "s = 'for k in t do' .. [==[in do]]in]==]"),
            (
                "s = `{(function() for k in t do end end)()} in do {x}`",
                "s = `{(function() for k in @( t ) do end end)()} in do {x}`",
            ),
            ("for k in if a then b else c do end", "for k in @( if a then b else c ) do end"),
            (
                "for k in (function() while true do if a then b() else c() end end end)() do end",
                "for k in @( (function() while true do if a then b() else c() end end end)() ) do end",
            ),
            (
                "x = if a then if b then c else d else e for k in t do end",
                "x = if a then if b then c else d else e for k in @( t ) do end",
            ),
            (
                "if a then f() elseif b then if c then g() end else if d then h() end end for k in {} do end",
                "if a then f() elseif b then if c then g() end else if d then h() end end for k in @( {} ) do end",
            ),
            ("repeat local x = f() until x for k in t do end", "repeat local x = f() until x for k in @( t ) do end"),
            ("s = \"a\\\" in\" for k in t do end", "s = \"a\\\" in\" for k in @( t ) do end"),
            (
                "local t: { [string]: number } = {} for k in t do end",
                "local t: { [string]: number } = {} for k in @( t ) do end",
            ),
        ] {
            assert_eq!(watched(source).unwrap(), expected.replace("@(", &format!("{LOOK}(")));
            assert_eq!(watched(source).unwrap().lines().count(), source.lines().count());
        }
        for source in ["end", "for k in t do }", "x = __keys_with_an_order", "until x", "in"] {
            assert!(watched(source).is_err(), "{source}");
        }
    }

    #[test]
    fn plugins_that_ship_are_followed_to_their_end() {
        for folder in crate::plugin::find::shipped() {
            let source = String::from_utf8(folder.files["check.lua"].clone()).unwrap();
            let loops = source.lines().filter(|l| l.trim_start().starts_with("for ") && l.contains(" in ")).count();
            assert!(watched(&source).unwrap().matches(LOOK).count() >= loops, "{}", folder.origin.display());
        }
    }
}
