//! Reads add-on documents.

use super::add_on::{Action, AddOn, Step};
use super::limits;
use super::problem::{ProblemKind, Problems, shortened};
use super::reader::Reader;
use super::section::Section;
use super::wiring_reader::{read_joints, read_parts, read_taper};

impl AddOn {
    /// Reads an add-on document. `file` names it in problems.
    ///
    /// # Errors
    /// Everything that is wrong with it as a document.
    pub fn read(file: &str, text: &str) -> Result<Self, Problems> {
        Reader::read(file, text, |top| {
            let title = top.text("title");
            let about = top.optional_text("about");
            let needs = top.optional_texts("needs").into_iter().map(|need| need.value).collect();
            let parts = read_parts(top);
            let joints = read_joints(top);
            let steps = [read_moves(top), read_inserts(top), read_joins(top), read_changes(top)].concat();
            if ["join", "move", "insert", "change"].into_iter().all(|key| top.lacks(key)) {
                let mend = "add a table under a heading [join], [move], [insert] or [change.PART]";
                top.error(ProblemKind::MissingKey, top.line(), "the add-on does nothing to a wiring", mend);
            }
            Some(Self {
                file: file.to_string(),
                title: title?.value,
                about: about.map(|about| about.value).unwrap_or_default(),
                needs,
                needs_line: top.line_of_key("needs"),
                parts,
                joints,
                steps,
            })
        })
    }
}

fn read_moves(top: &Section<'_, '_>) -> Vec<Step> {
    let step = |(lug, value): (String, _)| {
        let line = top.line_of(value);
        let to =
            value.get_ref().as_str().map(str::to_string).or_else(|| top.wrong_type(&lug, value, "a lug in quotes"))?;
        Some(Step { line, action: Action::Move { lug, to } })
    };
    top.entries("move", limits::LUGS).into_iter().filter_map(step).collect()
}

fn read_inserts(top: &Section<'_, '_>) -> Vec<Step> {
    let step = |(lug, value): (String, _)| {
        let lugs = top.text_list(&lug, value)?;
        let line = lugs.line;
        match <[_; 2]>::try_from(lugs.value) {
            Ok([joint_side, lug_side]) => {
                let action = Action::Insert { lug, joint_side: joint_side.value, lug_side: lug_side.value };
                Some(Step { line, action })
            }
            Err(_) => {
                let mend = "write two lugs of the inserted part, the joint's side first";
                let what = format!("`{}` does not name two lugs", shortened(&lug));
                top.error(ProblemKind::WrongType, line, what, mend);
                None
            }
        }
    };
    top.entries("insert", limits::LUGS).into_iter().filter_map(step).collect()
}

fn read_joins(top: &Section<'_, '_>) -> Vec<Step> {
    let step = |(lug, value): (String, _)| {
        let lugs = top.text_list(&lug, value)?;
        let others = lugs.value.into_iter().map(|lug| lug.value).collect();
        Some(Step { line: lugs.line, action: Action::Join { lug, others } })
    };
    top.entries("join", limits::LUGS).into_iter().filter_map(step).collect()
}

fn read_changes(top: &Section<'_, '_>) -> Vec<Step> {
    let step = |(part, section): (String, Section<'_, '_>)| {
        let no_load = section.optional_flag("no-load");
        let taper = if section.has("taper") { read_taper(&section) } else { None };
        let value = section.optional_text("value").map(|value| value.value);
        if !["value", "taper", "no-load"].into_iter().any(|key| section.has(key)) {
            let mend = "set its value, taper or no-load, or remove the table";
            section.error(ProblemKind::MissingKey, section.line(), "nothing about the part is changed", mend);
        }
        Step { line: section.line(), action: Action::Change { part, value, taper, no_load } }
    };
    top.named_tables("change", limits::PARTS).into_iter().map(step).collect()
}
