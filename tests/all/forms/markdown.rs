//! Reads Markdown by the grammar of GitHub: `comrak`, a translation of GitHub's own `cmark-gfm`.

use comrak::nodes::{AstNode, NodeValue};
use comrak::{Arena, Options, parse_document};

use super::Read;

/// What a Markdown text shows.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Shown {
    /// Headings, paragraphs and items, in order.
    pub(crate) texts: Vec<String>,
    /// Tables, in order; above each the text before it.
    pub(crate) tables: Vec<Read>,
}

/// Reads a Markdown text.
///
/// # Panics
/// Something in it is alive that the report never means: a link, HTML, code, emphasis and so on. Bold is meant.
pub(crate) fn read(text: &str) -> Shown {
    let mut options = Options::default();
    let on = &mut options.extension;
    (on.table, on.autolink, on.strikethrough, on.tasklist) = (true, true, true, true);
    (on.footnotes, on.math_dollars, on.math_code, on.alerts) = (true, true, true, true);
    (on.superscript, on.subscript, on.spoiler, on.highlight) = (true, true, true, true);
    (on.description_lists, on.wikilinks_title_after_pipe, on.underline) = (true, true, true);
    let arena = Arena::new();
    let mut shown = Shown::default();
    for block in parse_document(&arena, text, &options).children() {
        walk(block, &mut shown);
    }
    shown
}

fn walk<'a>(node: &'a AstNode<'a>, shown: &mut Shown) {
    match &node.data.borrow().value {
        NodeValue::Heading(_) | NodeValue::Paragraph => shown.texts.push(inline(node)),
        NodeValue::BlockQuote | NodeValue::List(_) | NodeValue::Item(_) => {
            node.children().for_each(|child| walk(child, shown));
        }
        NodeValue::Table(_) => {
            let mut rows = node.children().map(|row| row.children().map(inline).collect::<Vec<_>>());
            let above = shown.texts.last().cloned().unwrap_or_default();
            shown.tables.push(Read { above, headings: rows.next().unwrap(), rows: rows.collect() });
        }
        other => panic!("{other:?} is no part of a report"),
    }
}

/// The text of a block, with nothing alive in it.
fn inline<'a>(node: &'a AstNode<'a>) -> String {
    let parts = node.children().map(|part| match &part.data.borrow().value {
        NodeValue::Text(text) => text.to_string(),
        NodeValue::Strong => inline(part),
        // Parts what would else become a link.
        NodeValue::HtmlInline(html) if html == "<!-- -->" => String::new(),
        other => panic!("{other:?} came alive"),
    });
    parts.collect()
}
