//! What the targets share: the small catalogue, and what must hold of whatever is told.

#[path = "../../all/small.rs"]
mod small;

use std::sync::LazyLock;

pub(crate) use small::SMALL;
use underboard::catalogue::Catalogue;
use underboard::diagnostic::{Diagnostic, Place, Severity};

/// The small catalogue of the tests.
#[allow(dead_code, reason = "not every target needs it")]
pub(crate) static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| small::catalogue(SMALL));

/// The sheets of the small catalogue as files.
#[allow(dead_code, reason = "not every target needs it")]
pub(crate) fn tables() -> Vec<(String, Vec<u8>)> {
    let table = |(name, text): &(&str, &str)| {
        let lines: Vec<&str> = text.lines().map(str::trim_start).collect();
        (format!("{name}.csv"), lines.join("\n").into_bytes())
    };
    SMALL.iter().map(table).collect()
}

/// Whatever is told can be shown: it has a place, and nothing in it is obeyed by a terminal once it is made harmless.
#[allow(dead_code, reason = "not every target needs it")]
pub(crate) fn told(problems: &[Diagnostic], refused: bool) {
    assert!(!refused || problems.iter().any(|problem| problem.severity == Severity::Error), "refused without a reason");
    for problem in problems {
        assert!(!problem.what.is_empty());
        assert!(!matches!(problem.place, Place::Yaml { line: 0, .. } | Place::Yaml { column: 0, .. }), "{problem:?}");
        let texts = [Some(&problem.what), problem.found.as_ref(), problem.expected.as_ref()];
        for text in texts.into_iter().flatten().chain(&problem.nearest) {
            assert!(text.len() < 20_000, "nobody reads {} bytes", text.len());
            assert!(underboard::report::harmless(text).chars().all(|c| !c.is_control()));
        }
    }
}
