//! Step and rescue blocks.

use super::context::{ANY, Context, TEMPERATURE, TIME};
use super::model::{Ingredient, Owner, Pasteurised, Rescue, Step};
use super::names::{Named, Names};
use super::parts::At;
use super::table::{Fields, choice, one_or_more, table, text, wrong_type};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::lesson::captions::Seconds;
use crate::lesson::{Entry, LessonSyntax, StepSyntax, TypedBlock, ValueKind};
use crate::source::{MappedText, Span};
use std::collections::BTreeMap;

const STEP: &[&str] = &[
    "id",
    "add",
    "in",
    "to",
    "at",
    "from",
    "for",
    "takes",
    "hands",
    "until",
    "measures",
    "way",
    "while",
    "after",
    "heard-at",
    "at-home",
    "pasteurises",
    "does",
    "by-hand",
];
const RESCUE: &[&str] = &["sign", "do"];
const MEASURE: &[&str] = &["amount", "scales"];

/// The ids of all steps, so that each may name the others, and whether all are as their author meant them. Says which
/// are borne twice.
pub(super) fn step_names(syntax: &LessonSyntax, sink: &mut Diagnostics) -> (Vec<Named>, bool) {
    let mut sure = true;
    let mut spans: BTreeMap<String, Span> = BTreeMap::new();
    let mut names = Vec::new();
    for step in &syntax.steps {
        let heading = &syntax.headings[step.heading];
        let entries = &step.block.body.entries;
        let entry = entries.iter().find(|entry| entry.key == "id");
        let written = entry.and_then(|entry| own_id(entry, sink));
        let misspelt = entries.iter().any(|entry| !STEP.contains(&entry.key.as_str()));
        sure &= written.is_some() || entry.is_none() && !misspelt && !step.block.broken;
        let (id, span) = written.unwrap_or_else(|| (heading.slug.clone(), heading.span));
        if let Some(first) = spans.get(&id) {
            sink.push(
                Diagnostic::new(Code::DuplicateId, format!("two steps have the id `{id}`"), span)
                    .related(*first, "the first is here")
                    .help("give one of the two another id"),
            );
        } else {
            spans.insert(id.clone(), span);
        }
        names.push(Named { id, name: heading.text.text.trim().to_owned() });
    }
    (names, sure)
}

fn own_id(entry: &Entry, sink: &mut Diagnostics) -> Option<(String, Span)> {
    let text = text("id", &entry.value, "heat", sink)?;
    let span = text.home(0..text.text.len());
    if text.text.chars().all(|letter| letter.is_alphanumeric() || letter == '-') {
        return Some((text.text.clone(), span));
    }
    let message = format!("`{}` cannot be an id", text.text);
    sink.push(
        Diagnostic::new(Code::WrongType, message, span)
            .help("use letters, digits and hyphens, such as `heat-the-milk`"),
    );
    None
}

impl Context<'_> {
    /// Lowers one step.
    pub fn step(
        &mut self,
        index: usize,
        syntax: &StepSyntax,
        title: &str,
        ingredients: &[Ingredient],
        names: &Names,
    ) -> Step {
        let block = &syntax.block;
        let fields = Fields::of_block(block, "a step block", STEP, self.sink);
        let id = names.steps[index].id.clone();
        let owner = Owner::Step { lesson: self.lesson, step: index };
        let mut read = |key: &str, want| {
            let entry = fields.get(key)?;
            self.measured(key, &entry.value, want, &format!("steps.{id}.{key}"), owner)
        };
        let (to, at, from) = (read("to", TEMPERATURE), read("at", TEMPERATURE), read("from", TEMPERATURE));
        let (lasts, takes) = (read("for", TIME), read("takes", TIME));
        let place = At { index, id: &id };
        let at_home = fields.get("at-home").and_then(|entry| self.flag(entry));
        let by_hand = fields.get("by-hand").and_then(|entry| self.flag(entry));
        let heard = fields.get("heard-at").and_then(|entry| self.moment(entry));
        Step {
            title: title.to_owned(),
            heading: syntax.heading,
            span: block.name_span,
            add: fields.get("add").map_or_else(Vec::new, |entry| self.parts(entry, &place, ingredients, names)),
            vessels: fields.get("in").map_or_else(Vec::new, |entry| self.vessels(entry, names)),
            to,
            at,
            from,
            lasts,
            takes,
            pasteurises: fields.get("pasteurises").map_or_else(Vec::new, |entry| self.pasteurised(entry, names)),
            does: fields.get("does").map(|entry| self.deeds(entry)),
            by_hand,
            hands_on: fields
                .get("hands")
                .and_then(|entry| choice("hands", &entry.value, &["on", "off"], self.sink).map(|hands| hands == "on")),
            until: fields
                .get("until")
                .and_then(|entry| self.visible_text("until", &entry.value, "clean break", Some(index))),
            at_home: at_home.unwrap_or(false),
            measures: fields
                .get("measures")
                .map_or_else(BTreeMap::new, |entry| self.own_measures(entry, &format!("steps.{id}.measures"), owner)),
            way: fields.get("way").and_then(|entry| {
                let way = self.visible_text("way", &entry.value, "oven", Some(index))?;
                Some(way.text.trim().to_owned())
            }),
            beside: fields.get("while").and_then(|entry| self.steps("while", entry, index, names).first().copied()),
            after: fields.get("after").map_or_else(Vec::new, |entry| self.steps("after", entry, index, names)),
            heard_at: heard.map(|(moment, _)| moment),
            heard_span: heard.map(|(_, span)| span),
            rescues: syntax.rescues.iter().map(|block| self.rescue(block, index)).collect(),
            id,
        }
    }

    /// A moment of the recording.
    fn moment(&mut self, entry: &Entry) -> Option<(Seconds, Span)> {
        let text = text("heard-at", &entry.value, "2:05", self.sink)?;
        let span = text.home(0..text.text.len());
        let moment = Seconds::parse(&text.text);
        if moment.is_none() {
            let message = format!("`{}` is not a time in the recording", text.text);
            self.sink.push(
                Diagnostic::new(Code::WrongType, message, span)
                    .help("write minutes and seconds, such as `2:05`, or hours too, such as `1:02:05`"),
            );
        }
        Some((moment?, span))
    }

    fn vessels(&mut self, entry: &Entry, names: &Names) -> Vec<usize> {
        let items = one_or_more(&entry.value).iter();
        items
            .filter_map(|item| {
                let name = self.id_text("in", item, "pot")?;
                self.look_up(name, "equipment", &names.equipment, names.sure_of_equipment)
            })
            .collect()
    }

    /// What a step claims to pasteurise.
    fn pasteurised(&mut self, entry: &Entry, names: &Names) -> Vec<Pasteurised> {
        let items = one_or_more(&entry.value).iter();
        items
            .filter_map(|item| {
                let name = self.id_text("pasteurises", item, "milk")?;
                let span = name.home(0..name.text.len());
                let ingredient = self.look_up(name, "ingredient", &names.ingredients, names.sure_of_ingredients)?;
                Some(Pasteurised { ingredient, span })
            })
            .collect()
    }

    /// The steps that `while` or `after` names.
    fn steps(&mut self, key: &str, entry: &Entry, own: usize, names: &Names) -> Vec<usize> {
        let mut found = Vec::new();
        for item in one_or_more(&entry.value) {
            let Some(name) = self.id_text(key, item, "heat") else {
                continue;
            };
            let Some(step) = self.look_up(name, "step", &names.steps, names.sure_of_steps) else {
                continue;
            };
            if step == own {
                let span = name.home(0..name.text.len());
                let message = format!("`{key}` names the step it stands in");
                self.sink.push(Diagnostic::new(Code::UnknownName, message, span).help("name another step"));
            } else {
                found.push(step);
            }
        }
        found
    }

    /// Named measures, of a step or of the whole recipe.
    pub fn own_measures(&mut self, entry: &Entry, path: &str, owner: Owner) -> BTreeMap<String, super::MeasureId> {
        let Some(table) = table("measures", &entry.value, "{ cut = \"2.5 cm\" }", self.sink) else {
            return BTreeMap::new();
        };
        let mut measures = BTreeMap::new();
        for entry in &table.entries {
            let path = format!("{path}.{}", entry.key);
            if let Some(measure) = self.own_measure(entry, &path, owner) {
                measures.insert(entry.key.clone(), measure);
            }
        }
        measures
    }

    /// `"200 mL"`, or `{ amount = "200 mL", scales = true }`.
    fn own_measure(&mut self, entry: &Entry, path: &str, owner: Owner) -> Option<super::MeasureId> {
        let ValueKind::Table(table) = &entry.value.kind else {
            return self.measured(&entry.key, &entry.value, ANY, path, owner);
        };
        let fields = Fields::new(table, entry.key_span, "a measure", MEASURE, self.sink);
        let amount = fields.required("amount", "\"200 mL\"", self.sink)?;
        let id = self.measured("amount", &amount.value, ANY, path, owner)?;
        if let Some(scales) = self.scales(&fields) {
            self.set_scales(id, scales);
        }
        Some(id)
    }

    /// Whether an author says that a measure grows with the batch, or that it does not.
    pub fn scales(&mut self, fields: &Fields<'_>) -> Option<bool> {
        fields.get("scales").and_then(|entry| self.flag(entry))
    }

    /// `true` or `false`.
    fn flag(&mut self, entry: &Entry) -> Option<bool> {
        if let ValueKind::Flag(flag) = entry.value.kind {
            return Some(flag);
        }
        let example = format!("{} = true", entry.key);
        wrong_type(&entry.key, &entry.value, "true or false, without quotes", &example, self.sink);
        None
    }

    /// A rescue. Where a key is missing its text is empty: the others keep their numbers, and nothing is published.
    fn rescue(&mut self, block: &TypedBlock, step: usize) -> Rescue {
        let fields = Fields::of_block(block, "a rescue block", RESCUE, self.sink);
        let mut read = |key: &str, example: &str| {
            let entry = fields.required(key, &format!("\"{example}\""), self.sink)?;
            self.visible_text(key, &entry.value, example, Some(step))
        };
        let (sign, remedy) = (read("sign", "The bottom catches"), read("do", "Pour the milk into a clean pot."));
        let empty = || MappedText::new(block.span.file);
        Rescue { sign: sign.unwrap_or_else(empty), remedy: remedy.unwrap_or_else(empty) }
    }
}
