//! HTML: a document as one page that stands alone, made for paper, a large screen and a phone. It asks for nothing over a network and
//! runs no script; every text of a file is escaped by [`maud`], shown without control codes, and kept apart where it runs right to left.

mod table;
mod text;

use std::collections::BTreeMap;
use std::fmt::Write;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use self::table::table;
use self::text::{css, isolated};
use super::document::{Block, Document, Section};
use super::figures::{bracket, sentence};
use super::picture::{Drawing, Picture};
use super::plain::harmless;
use super::svg::to_svg;
use crate::finding::Finding;

/// What the page looks like.
const STYLE: &str = include_str!("style.css");

/// The document as an HTML page.
pub fn to_html(document: &Document) -> String {
    let mut page = Page::default();
    let chapters: Vec<Chapter> = chapters(document);
    let body: Vec<Markup> = chapters.iter().map(|chapter| page.chapter(chapter)).collect();
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
                title { (harmless(&document.title)) }
                style { (PreEscaped(STYLE)) (PreEscaped(running_heads(document, &chapters))) }
            }
            body {
                header {
                    h1 { (isolated(&document.title)) }
                    @for notice in &document.notices { p class="notice" { strong { "Mind: " } (isolated(notice)) } }
                }
                @if chapters.len() > 1 {
                    nav aria-label="Contents" {
                        h2 id="contents" { "Contents" }
                        ol { @for chapter in &chapters { li { a href=(format!("#{}", chapter.name)) { (isolated(&chapter.heading())) } } } }
                    }
                }
                main { @for chapter in body { (chapter) } }
            }
        }
    };
    let mut text = markup.into_string();
    text.push('\n');
    text
}

/// Sections up to the next that begins a chapter.
struct Chapter<'a> {
    name: String,
    /// Its number, where there are others.
    number: Option<usize>,
    sections: Vec<&'a Section>,
}

impl Chapter<'_> {
    /// Its heading with its number: paper has no links, and running heads are all by which one finds the way.
    fn heading(&self) -> String {
        let heading = self.sections.first().map_or("", |section| &section.heading);
        self.number.map_or_else(|| heading.to_owned(), |number| format!("{number}. {heading}"))
    }
}

fn chapters(document: &Document) -> Vec<Chapter<'_>> {
    let mut chapters: Vec<Chapter> = Vec::new();
    for section in &document.sections {
        match chapters.last_mut() {
            Some(chapter) if !section.begins_chapter => chapter.sections.push(section),
            _ => {
                chapters.push(Chapter { name: format!("chapter-{}", chapters.len() + 1), number: None, sections: vec![section] });
            }
        }
    }
    if chapters.len() > 1 {
        chapters.iter_mut().zip(1..).for_each(|(chapter, number)| chapter.number = Some(number));
    }
    chapters
}

/// A page of paper for each chapter, with its heading at the head and the title at the foot.
fn running_heads(document: &Document, chapters: &[Chapter]) -> String {
    let mut style = format!("@page{{@bottom-left{{content:{}}}}}", css(&document.title));
    for chapter in chapters {
        let name = &chapter.name;
        // Writing to a string cannot fail.
        let _ = write!(style, "#{name}{{page:{name}}}@page {name}{{@top-left{{content:{}}}}}", css(&chapter.heading()));
    }
    style
}

/// What is told of the page so far.
#[derive(Debug, Default)]
struct Page {
    /// How often each id was given.
    ids: BTreeMap<String, u32>,
}

impl Page {
    /// The id, with a number where it was given before.
    fn id(&mut self, id: &str) -> String {
        let times = self.ids.entry(id.to_owned()).or_default();
        *times += 1;
        if *times == 1 { id.to_owned() } else { format!("{id}-{times}") }
    }

    fn chapter(&mut self, chapter: &Chapter) -> Markup {
        let sections: Vec<Markup> = chapter
            .sections
            .iter()
            .enumerate()
            .map(|(at, section)| self.section(section, (at == 0).then(|| chapter.heading())))
            .collect();
        html! {
            section class="chapter" id=(chapter.name) {
                @for section in sections { (section) }
            }
        }
    }

    /// A section; the first of a chapter under the heading of the chapter.
    fn section(&mut self, section: &Section, chapter: Option<String>) -> Markup {
        let id = self.id(&format!("section-{}", section.id));
        let blocks: Vec<Markup> = section.blocks.iter().map(|block| self.block(block, &section.heading)).collect();
        html! {
            @if let Some(heading) = chapter { h2 id=(id) { (isolated(&heading)) } } @else { h3 id=(id) { (isolated(&section.heading)) } }
            @for block in blocks { (block) }
        }
    }

    fn block(&mut self, block: &Block, heading: &str) -> Markup {
        match block {
            Block::Text(prose) => html! { p { (isolated(&sentence(prose))) } },
            Block::List(items) => html! { ul { @for item in items { li { (isolated(&sentence(item))) } } } },
            Block::Table(one) => table(&one.told(), &self.id(&format!("table-{}", one.id)), heading),
            Block::Findings(findings) => html! { @for one in findings { (finding(one)) } },
            Block::Picture(one) => picture(one, &self.id(&format!("picture-{}", one.id))),
        }
    }
}

fn picture(picture: &Picture, id: &str) -> Markup {
    let class = if matches!(picture.drawing, Drawing::Template(_)) { "full-size" } else { "to-fit" };
    html! {
        figure class=(class) id=(id) {
            div class="wide" tabindex="0" role="group" aria-label=(harmless(&picture.title)) { (to_svg(picture, id)) }
            figcaption { (isolated(&picture.title)) }
        }
    }
}

fn finding(finding: &Finding) -> Markup {
    html! {
        div class="finding" {
            p { strong { (finding.weight.word()) ": " } (isolated(&finding.what)) }
            @if let Some(seen) = &finding.seen { p { em { "You would see: " } (isolated(seen)) } }
            @for mend in &finding.mends {
                p {
                    em { "To mend it: " } (isolated(&mend.text)) (bracket(mend))
                }
            }
        }
    }
}

#[cfg(test)]
mod tests;
