//! A lesson's page as a student works it: its live words, the bench, the stove.

use super::page::Page;
use super::server::Server;
use serde_json::Value;
use std::ops::Deref;

/// Texts of mentions in the order of the page: the mention's number, and what stands there. What is hidden is empty.
/// Markup may cut a mention: the pieces after the first have no number of their own and are joined to it.
const MENTIONS: &str = "(() => {
    const found = [];
    for (const span of document.querySelectorAll('[data-m]')) {
        const text = span.closest('[hidden]') ? '' : span.textContent;
        if (span.dataset.m) found.push([+span.dataset.m, text]);
        else found.at(-1)[1] += text;
    }
    return found;
})()";

/// A lesson in a page.
pub struct Lesson {
    page: Page,
}

impl Deref for Lesson {
    type Target = Page;
    fn deref(&self) -> &Page {
        &self.page
    }
}

impl Lesson {
    /// A lesson in a fresh profile, on a phone.
    pub fn fresh(server: &Server, path: &str) -> Lesson {
        let page = Page::fresh();
        // Otherwise a place would still be on its way when it is looked at.
        page.media("", &[("prefers-reduced-motion", "reduce")]);
        page.screen(390, 844, 3.0, true);
        page.open(&server.url(path));
        Lesson::on(page)
    }

    /// The lesson that a page shows.
    pub fn on(page: Page) -> Lesson {
        page.settle();
        Lesson { page }
    }

    /// Loads it again and waits for all of it.
    #[track_caller]
    pub fn reload(&self) {
        self.page.reload();
        self.page.settle();
    }

    /// What the page knows of the recipe.
    pub fn live(&self) -> Value {
        let text = self.text("document.getElementById('_live').textContent");
        serde_json::from_str(&text).expect("the data are JSON")
    }

    /// Whether a mention converts another in words that the sentence needs, and so stays in the other system.
    pub fn is_conversion_in_the_sentence(&self, mention: usize) -> bool {
        self.live()["mentions"][mention][1] == 4
    }

    /// Every mention with its text now.
    pub fn mentions(&self) -> Vec<(usize, String)> {
        let found = serde_json::from_value(self.eval(MENTIONS)).expect("numbers and texts");
        assert_ne!(found, [], "a lesson has mentions");
        found
    }

    /// The texts of the mentions in some part of the page, without what is hidden.
    pub fn words_in(&self, selector: &str) -> Vec<String> {
        let script = format!(
            "[...document.querySelectorAll({selector:?})].flatMap(part => [...part.querySelectorAll('[data-m]')])
                .filter(span => !span.closest('[hidden]')).map(span => span.textContent)"
        );
        serde_json::from_value(self.eval(&script)).expect("texts")
    }

    /// Chooses from a list by what is written there, or by a part of it.
    pub fn choose(&self, selector: &str, words: &str) {
        self.eval(&format!(
            "(() => {{
                const list = document.querySelector({selector:?});
                const options = [...list.options];
                const option = options.find(option => option.text == {words:?}) || options.find(option => option.text.includes({words:?}));
                if (!option) throw Error(`${{options.map(option => option.text)}}: no {words}`);
                list.value = option.value;
                for (const kind of ['input', 'change']) list.dispatchEvent(new Event(kind, {{ bubbles: true }}));
            }})()"
        ));
    }

    /// Opens the bench, where amounts and units are changed.
    pub fn open_bench(&self) {
        if !self.is("document.querySelector('#_bench details').open") {
            self.click("#_bench summary");
        }
        assert!(self.is("document.querySelector('#_bench details').open"));
    }

    /// Scales: by which list entry, how much, and of which unit if there is a choice.
    pub fn scale(&self, by: &str, amount: &str, unit: Option<&str>) {
        self.open_bench();
        self.choose("#_form [name=by]", by);
        if let Some(unit) = unit {
            self.choose("#_form [name=unit]", unit);
        }
        self.fill("#_form [name=amount]", amount);
        self.press("Enter");
    }

    /// What the page last said aloud.
    pub fn status(&self) -> String {
        self.text("document.querySelector('#_status[role=status]').textContent")
    }

    /// What the page warns of.
    pub fn limits(&self) -> String {
        self.text("document.getElementById('_limits').textContent")
    }

    /// The scale in the link.
    pub fn scale_in_link(&self) -> f64 {
        self.let_it_remember();
        let text = self.text("new URLSearchParams(location.hash.slice(1)).get('x') || '1/1'");
        let (above, below) = text.split_once('/').expect("a ratio");
        let number = |text: &str| text.parse::<f64>().expect("a number");
        number(above) / number(below)
    }

    /// The titles of the steps that are shown.
    pub fn steps_shown(&self) -> Vec<String> {
        let script = "[...document.querySelectorAll('.step')].filter(step => step.checkVisibility()).map(step => step.dataset.step)";
        serde_json::from_value(self.eval(script)).expect("texts")
    }
}
