//! The plan of a lesson: a chart for each way through it.

use super::Cx;
use super::chart::{Chart, WIDTH, chart};
use super::view::{ChartView, PlanView};
use crate::kitchen::{Plan, plan, walks};
use crate::recipe::Lesson;

/// The plans of all ways through a lesson.
pub(super) struct LessonPlan {
    plans: Vec<(Vec<String>, Plan)>,
}

impl LessonPlan {
    /// Works the plans out.
    pub(super) fn new(cx: &Cx<'_>, lesson: &Lesson) -> LessonPlan {
        let walks = walks(&lesson.steps).into_iter();
        let plans = walks.map(|walk| {
            let plan = plan(cx.course, &lesson.steps, &walk, false);
            (walk.ways, plan)
        });
        LessonPlan { plans: plans.filter(|(_, plan)| plan.total.most > 0 && plan.slots.len() > 1).collect() }
    }

    /// The charts, so wide.
    pub(super) fn charts(&self, cx: &Cx<'_>, lesson: &Lesson, width: f32) -> Vec<Chart> {
        self.plans.iter().filter_map(|(ways, plan)| chart(cx, lesson, plan, ways, width)).collect()
    }

    /// What the page shows; nothing where no step says how long it takes.
    pub(super) fn view(&self, cx: &Cx<'_>, lesson: &Lesson) -> Option<PlanView> {
        let view = |chart: Chart| ChartView { ways: chart.ways.join("."), svg_html: chart.to_svg(), told: chart.told };
        let charts: Vec<ChartView> = self.charts(cx, lesson, WIDTH).into_iter().map(view).collect();
        (!charts.is_empty()).then_some(PlanView { charts })
    }
}
