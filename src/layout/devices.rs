//! Turnouts, signals and other things as written, each with what its kind makes of it.

use std::sync::Arc;

use super::boards::{Ground, point};
use super::field::{Entry, Field};
use super::form::{Form, OTHER, SIGNAL, TURNOUT};
use super::forms::{Written, any};
use super::kinds::{Known, Shape, contradiction, other, signal, turnout};
use super::model::{DeviceKind, FrogKind, Point, Spot};
use super::names::Names;
use super::report::{Report, shown};
use super::words::YesNo;
use crate::catalogue::Catalogue;
use crate::diagnostic::{Code, Diagnostic, Given, Place};
use crate::id::{BoardId, SchemeId};
use crate::quantity::Length;

/// A device as written.
pub(super) struct Draft<'a> {
    pub(super) name: Arc<str>,
    pub(super) place: Place,
    pub(super) kind: DeviceKind,
    /// `None` where the kind is not known.
    pub(super) shape: Option<Shape>,
    pub(super) board: Given<BoardId>,
    pub(super) at: Option<Given<Point>>,
    /// Where its further tie bars are.
    pub(super) further: Vec<Point>,
    /// The path of `at`, for the default.
    pub(super) at_path: String,
    pub(super) frog: FrogKind,
    pub(super) with: Vec<Field<'a>>,
    pub(super) scheme: Option<Given<SchemeId>>,
    pub(super) owned: bool,
    pub(super) hidden: bool,
}

/// Reads `turnouts`, `signals` and `others`.
pub(super) fn drafts<'a>(
    file: &Entry<'a>,
    ground: &Ground,
    catalogue: &Catalogue,
    report: &mut Report,
) -> (Vec<Draft<'a>>, Names) {
    let mut reader = Reader { ground, catalogue, names: Names::new("device"), drafts: Vec::new() };
    reader.read(file, "turnouts", &TURNOUT, |entry, report| turnout(entry, catalogue, report), report);
    reader.read(file, "signals", &SIGNAL, signal, report);
    reader.read(file, "others", &OTHER, other, report);
    // A key that is not known may have been meant for one of the lists; that is told.
    if reader.drafts.is_empty() && !reader.names.unsure && !report.has(Code::UnknownKey) {
        report.problem(nothing_to_motorise(file, report));
    }
    (reader.drafts, reader.names)
}

fn nothing_to_motorise(file: &Entry<'_>, report: &Report) -> Diagnostic {
    const WHY: &str = "a layout without turnouts, signals or others has nothing to motorise";
    const ONE: [(&str, &str); 3] =
        [("turnouts", "id: T1"), ("signals", "id: S1, kind: semaphore"), ("others", "id: G1, kind: gate")];
    match ONE.iter().find_map(|(key, one)| Some((key, one, file.get(key)?))) {
        Some((key, one, list)) => {
            let what = format!("`{key}` is a list of nothing: {WHY}");
            let one = format!("at least one, such as `{key}: [{{{one}}}]`");
            Diagnostic::error(Code::MissingKey, list.place(report), what).found("an empty list").expected(one)
        }
        None => file.missing("turnouts", WHY, report).expected("`turnouts: [{id: T1}]`"),
    }
}

struct Reader<'a, 'c> {
    ground: &'c Ground,
    catalogue: &'c Catalogue,
    names: Names,
    drafts: Vec<Draft<'a>>,
}

impl<'a> Reader<'a, '_> {
    fn read(
        &mut self,
        file: &Entry<'a>,
        key: &str,
        form: &Form,
        known: impl Fn(&Entry<'a>, &mut Report) -> Known,
        report: &mut Report,
    ) {
        let Some(list) = file.get(key) else { return };
        self.names.unsure |= !list.is_list();
        for item in list.list(&format!("a list of {key}"), report) {
            let Some(entry) = item.entry(form, report) else {
                self.names.unsure = true;
                continue;
            };
            let name = self.names.add(&entry, report);
            let draft = self.draft(name, &entry, &known, report);
            self.drafts.push(draft);
        }
    }

    fn draft(
        &self,
        name: Arc<str>,
        entry: &Entry<'a>,
        known: &impl Fn(&Entry<'a>, &mut Report) -> Known,
        report: &mut Report,
    ) -> Draft<'a> {
        let board = self.ground.board_of(entry, report);
        let at = point(entry, self.ground, board.value, report);
        let Known { kind, shape, frog } = known(entry, report);
        let yes = |key: &str, report: &mut Report| entry.optional::<YesNo>(key, any, report).is_some_and(|yes| yes.value.0);
        Draft {
            place: entry.place(report),
            scheme: self.scheme(&name, entry, shape, report),
            with: entry
                .get("with")
                .map_or_else(Vec::new, |with| with.one_or_more("the id of a device, or a list of ids", report)),
            owned: yes("owned", report),
            hidden: yes("hidden", report),
            further: self.further(entry, board.value, shape, report),
            at_path: entry.path("at"),
            name,
            kind,
            shape,
            board,
            at,
            frog,
        }
    }

    /// Where the further tie bars of a turnout are: at most one for each drive after the first.
    fn further(&self, entry: &Entry<'a>, board: BoardId, shape: Option<Shape>, report: &mut Report) -> Vec<Point> {
        let Some(field) = entry.get("further") else { return Vec::new() };
        let on_board = self.ground.on(board);
        let mut points = Vec::new();
        for item in field.one_or_more("a point, or a list of points", report) {
            let Some(point) = item.read::<Point>(report) else { continue };
            match on_board(&point) {
                Ok(()) => points.push(point),
                Err(fault) => report.problem(item.fault(fault, report)),
            }
        }
        let most = shape.map_or(usize::MAX, |shape| shape.drives.saturating_sub(1) as usize);
        if points.len() > most {
            let what = format!("there are {} points and {most} further tie bars", points.len());
            report.problem(field.fault(contradiction(what, "a point for each tie bar after the first".to_owned()), report));
        }
        points
    }

    fn scheme(&self, name: &str, entry: &Entry<'a>, shape: Option<Shape>, report: &mut Report) -> Option<Given<SchemeId>> {
        let field = entry.get("scheme")?;
        let scheme = find_scheme(&field, self.catalogue, report)?;
        let shape = shape?;
        if shape.drives == 0 {
            let fault = contradiction(format!("nothing of `{name}` moves"), "no `scheme`");
            report.problem(field.fault(fault, report));
            return None;
        }
        let drives = |id: &SchemeId| self.catalogue.scheme(*id).drives.contains(&shape.purpose);
        if !drives(&scheme) {
            let able = (0..self.catalogue.schemes.len()).map(SchemeId::at).filter(drives);
            let able: Vec<&str> =
                able.map(|id| self.catalogue.scheme(id)).filter(|able| able.offered).map(|able| &*able.name).collect();
            let what = format!("this scheme cannot move a {}", shape.purpose.word());
            let expected = if able.is_empty() { "no `scheme`".to_owned() } else { format!("one of {}", able.join(", ")) };
            report.problem(field.fault(contradiction(what, expected), report));
            return None;
        }
        Some(Given::new(scheme, field.place(report)))
    }
}

/// The offered scheme a field names; reports a name that the catalogue does not offer.
pub(super) fn find_scheme(field: &Field<'_>, catalogue: &Catalogue, report: &mut Report) -> Option<SchemeId> {
    let name = field.text("the name of a scheme", report)?.trim();
    let found = catalogue.scheme_named(name);
    if let Some(id) = found.filter(|id| catalogue.scheme(*id).offered) {
        return Some(id);
    }
    let (code, what) = if found.is_some() {
        (Code::Contradiction, format!("the catalogue does not offer `{name}`: it only holds what other schemes share"))
    } else {
        (Code::UnknownId, format!("the catalogue has no scheme named `{}`", shown(name)))
    };
    let offered = catalogue.schemes.iter().filter(|scheme| scheme.offered).map(|scheme| &*scheme.name);
    report.problem(Diagnostic::error(code, field.place(report), what).one_of(&shown(name), offered));
    None
}

/// Where each device stands: where it is written, else spread evenly along the middle of its board.
pub(super) fn spots(drafts: &[Draft<'_>], ground: &Ground, report: &mut Report) -> Vec<Given<Spot>> {
    let mut unplaced = vec![0_i64; ground.boards.len()];
    let count = |unplaced: &mut Vec<i64>, board: BoardId| {
        unplaced.get_mut(board.index()).map_or(0, |count| {
            *count = count.saturating_add(1);
            *count
        })
    };
    for draft in drafts.iter().filter(|draft| draft.at.is_none()) {
        count(&mut unplaced, draft.board.value);
    }
    let mut placed = vec![0_i64; ground.boards.len()];
    let mut spot = |draft: &Draft<'_>| {
        let board = draft.board.value;
        if let Some(at) = &draft.at {
            return Given::new(Spot { board, at: at.value }, at.place.clone());
        }
        let nth = count(&mut placed, board);
        let (length, width) =
            ground.boards.get(board.index()).map_or((0, 0), |board| (board.length.value.um(), board.width.value.um()));
        let of = unplaced.get(board.index()).copied().unwrap_or(0).saturating_add(1);
        let along = (length / 1000).saturating_mul(nth).checked_div(of).unwrap_or(0);
        let at = Point { x: Length::from_mm(along), y: Length::from_mm(width / 2000) };
        Given::new(Spot { board, at }, report.took(&draft.at_path, at.write()))
    };
    drafts.iter().map(&mut spot).collect()
}
