//! Reads the fixed form `Message::new("id").with("name", value)` out of Rust source.

use std::collections::BTreeSet;

/// A message made in code.
#[derive(Debug, PartialEq, Eq)]
pub struct Use {
    /// File and line.
    pub place: String,
    /// The id, absent when it is not a string literal.
    pub id: Option<String>,
    /// The names of the arguments chained to it.
    pub args: BTreeSet<String>,
    /// The names that its file adds to messages held in variables: it may have these too.
    pub later: BTreeSet<String>,
}

#[derive(Clone, Debug, PartialEq)]
enum Token {
    Word(String),
    Text(String),
    Sign(char),
}

/// What the constructor of a refusal adds to the message it is given.
const ADDED_BY_REFUSED: [&str; 3] = ["field", "given", "sensible"];

/// The messages made in `code`, tests and comments left out.
pub fn uses(file: &str, code: &str) -> Vec<Use> {
    let tokens = without_tests(tokens(code));
    let mut found = Vec::new();
    let mut chained = BTreeSet::new();
    for start in 0..tokens.len() {
        if !spells(&tokens[start..], &["Message", ":", ":", "new", "("]) {
            continue;
        }
        let place = format!("{file}:{}", tokens[start].1);
        let id = match tokens.get(start + 5) {
            Some((Token::Text(id), _))
                if is_sign(&tokens, start + 6, ')') || is_sign(&tokens, start + 6, ',') =>
            {
                Some(id.clone())
            }
            _ => None,
        };
        let mut at = after_parenthesis(&tokens, start + 4);
        let mut args = BTreeSet::new();
        while spells(&tokens[at.min(tokens.len())..], &[".", "with", "("]) {
            if let Some((Token::Text(name), _)) = tokens.get(at + 3) {
                args.insert(name.clone());
            }
            chained.insert(at);
            at = after_parenthesis(&tokens, at + 2);
        }
        found.push(Use { place, id, args, later: BTreeSet::new() });
    }
    let mut later = BTreeSet::new();
    for at in (0..tokens.len()).filter(|at| !chained.contains(at)) {
        if spells(&tokens[at..], &[".", "with", "("])
            && let Some((Token::Text(name), _)) = tokens.get(at + 3)
        {
            later.insert(name.clone());
        }
        if tokens[at].0 == Token::Word("Refused".to_owned()) {
            later.extend(ADDED_BY_REFUSED.map(str::to_owned));
        }
    }
    found.iter_mut().for_each(|used| used.later.clone_from(&later));
    found
}

fn is_sign(tokens: &[(Token, usize)], at: usize, sign: char) -> bool {
    matches!(tokens.get(at), Some((Token::Sign(c), _)) if *c == sign)
}

fn spells(tokens: &[(Token, usize)], words: &[&str]) -> bool {
    tokens.len() >= words.len()
        && tokens.iter().zip(words).all(|((token, _), word)| match token {
            Token::Word(found) => found == word,
            Token::Sign(c) => word.len() == 1 && word.starts_with(*c),
            Token::Text(_) => false,
        })
}

/// The index after the bracket that closes the one at `open`.
fn after_parenthesis(tokens: &[(Token, usize)], open: usize) -> usize {
    let mut depth = 0_usize;
    for (index, (token, _)) in tokens.iter().enumerate().skip(open) {
        match token {
            Token::Sign('(' | '[' | '{') => depth += 1,
            Token::Sign(')' | ']' | '}') => {
                depth = depth.saturating_sub(1);
                if depth == 0 {
                    return index + 1;
                }
            }
            _ => {}
        }
    }
    tokens.len()
}

/// Leaves out what stands under `#[cfg(test)]`.
fn without_tests(tokens: Vec<(Token, usize)>) -> Vec<(Token, usize)> {
    let mut kept = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        if spells(&tokens[at..], &["#", "[", "cfg", "(", "test", ")", "]"]) {
            let item = &tokens[at + 7..];
            let body = item.iter().position(|(token, _)| matches!(token, Token::Sign('{' | ';')));
            at = match body.map(|offset| at + 7 + offset) {
                Some(open) if is_sign(&tokens, open, '{') => after_parenthesis(&tokens, open),
                Some(end) => end + 1,
                None => tokens.len(),
            };
        } else {
            kept.push(tokens[at].clone());
            at += 1;
        }
    }
    kept
}

/// Words, string literals and signs with their lines; comments and character literals are left out.
fn tokens(code: &str) -> Vec<(Token, usize)> {
    let chars: Vec<char> = code.chars().collect();
    let peek = |at: usize| chars.get(at).copied().unwrap_or('\0');
    let (mut found, mut at, mut line) = (Vec::new(), 0, 1);
    while at < chars.len() {
        let c = chars[at];
        match c {
            '\n' => (line, at) = (line + 1, at + 1),
            _ if c.is_whitespace() => at += 1,
            '/' if peek(at + 1) == '/' => {
                while at < chars.len() && chars[at] != '\n' {
                    at += 1;
                }
            }
            '/' if peek(at + 1) == '*' => {
                let mut depth = 0;
                loop {
                    match (peek(at), peek(at + 1)) {
                        ('/', '*') => (depth, at) = (depth + 1, at + 2),
                        ('*', '/') => (depth, at) = (depth - 1, at + 2),
                        ('\n', _) => (line, at) = (line + 1, at + 1),
                        _ => at += 1,
                    }
                    if depth == 0 || at >= chars.len() {
                        break;
                    }
                }
            }
            'r' if peek(at + 1) == '"' || (peek(at + 1) == '#' && matches!(peek(at + 2), '"' | '#')) => {
                let hashes = chars[at + 1..].iter().take_while(|c| **c == '#').count();
                at += hashes + 2;
                let (start, begun) = (at, line);
                while at < chars.len()
                    && !(chars[at] == '"' && (1..=hashes).all(|after| peek(at + after) == '#'))
                {
                    line += usize::from(chars[at] == '\n');
                    at += 1;
                }
                found.push((Token::Text(chars[start..at.min(chars.len())].iter().collect()), begun));
                at += hashes + 1;
            }
            '"' => {
                let begun = line;
                let mut text = String::new();
                at += 1;
                while at < chars.len() && chars[at] != '"' {
                    if chars[at] == '\\' {
                        line += usize::from(peek(at + 1) == '\n');
                        at += 1;
                    }
                    line += usize::from(peek(at) == '\n' && chars[at - 1] != '\\');
                    text.push(peek(at));
                    at += 1;
                }
                found.push((Token::Text(text), begun));
                at += 1;
            }
            // A character literal, not a lifetime.
            '\'' if peek(at + 1) == '\\' => {
                at += 3;
                while at < chars.len() && chars[at] != '\'' {
                    at += 1;
                }
                at += 1;
            }
            '\'' if peek(at + 2) == '\'' => at += 3,
            _ if c.is_alphanumeric() || c == '_' => {
                let start = at;
                while peek(at).is_alphanumeric() || peek(at) == '_' {
                    at += 1;
                }
                found.push((Token::Word(chars[start..at].iter().collect()), line));
            }
            _ => {
                found.push((Token::Sign(c), line));
                at += 1;
            }
        }
    }
    found
}

#[test]
fn the_fixed_form_is_read() {
    let code = r###"
        // Message::new("in-a-comment")
        /* Message::new("in a /* nested */ comment") */
        fn f<'a>() {
            let _ = ['"', '\'', '('];
            let m = report::Message::new("one").with("a", format!("x({})", 1)).with("b", Message::new("two"));
            let s = "Message::new(\"in-a-string\")";
            let r = r#"Message::new("raw")"#;
            Message::new(some_id);
            Message::new(
                "three",
            );
            Message::new("four")
                .with("c", x)
        }
        #[cfg(test)]
        mod tests { fn g() { Message::new("only-in-tests"); } }
        fn h() { Message::new("five"); }
    "###;
    let found: Vec<(usize, Option<String>, Vec<String>)> = uses("f", code)
        .into_iter()
        .map(|used| (used.place[2..].parse().unwrap(), used.id, used.args.into_iter().collect()))
        .collect();
    let some = |id: &str| Some(id.to_owned());
    let args = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
    assert_eq!(
        found,
        [
            (6, some("one"), args(&["a", "b"])),
            (6, some("two"), args(&[])),
            (9, None, args(&[])),
            (10, some("three"), args(&[])),
            (13, some("four"), args(&["c"])),
            (18, some("five"), args(&[])),
        ]
    );
}

#[test]
fn what_is_added_later_is_known_in_its_file() {
    let code = r#"
        fn f(kind: bool) -> Message {
            let what = if kind { Message::new("one") } else { Message::new("two").with("own", 1) };
            what.with("later", 2)
        }
    "#;
    let of = |code: &str| {
        let used = uses("f", code);
        (used[0].later.iter().cloned().collect::<Vec<_>>(), used[1].args.iter().cloned().collect::<Vec<_>>())
    };
    assert_eq!(of(code), (vec!["later".to_owned()], vec!["own".to_owned()]));
    let refused = uses("f", r#"Refused::new("code", Message::new("one"))"#);
    assert_eq!(refused[0].later.len(), 3);
}
