//! The page of one of every sort of value and block, and what must hold of any.

use super::*;
use crate::report::document::prose;
use crate::report::sample;

#[test]
fn the_sample_is_as_a_person_has_read_it() {
    insta::assert_snapshot!("html", to_html(&sample::document()).replace(STYLE, ""));
}

#[test]
fn text_of_files_is_never_markup() {
    let evil = "<b>&\"'</style><script>x</script>\u{1b}[2J\u{202e}";
    let mut document = sample::document();
    document.title = evil.to_owned();
    document.notices = vec![evil.to_owned()];
    for section in &mut document.sections {
        section.heading = evil.to_owned();
        section.blocks.push(Block::Text(prose![evil]));
        for block in &mut section.blocks {
            if let Block::Table(table) = block {
                table.title = evil.to_owned();
                table.rows.iter_mut().flat_map(|row| &mut row.cells).for_each(|cell| *cell = evil.into());
            }
        }
    }
    let page = to_html(&document);
    assert_eq!(page.matches("<script").count() + page.matches("<b>").count(), 0);
    assert_eq!(page.matches("</style").count(), 1);
    assert!(page.chars().all(|c| c == '\n' || !c.is_control()));
    assert!(!page.contains('\u{202e}'));
}

#[test]
fn ids_are_unique_and_links_lead_somewhere() {
    let mut document = sample::document();
    document.sections.iter_mut().for_each(|section| section.begins_chapter = true);
    let twice = document.sections.clone();
    document.sections.extend(twice);
    let page = to_html(&document);
    let ids: Vec<&str> = page.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let mut once = ids.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), ids.len());
    let links: Vec<&str> = page.split("href=\"#").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(links.len() == 4 && links.iter().all(|link| ids.contains(link)), "{links:?}");
}
