//! A whole order as data for other programs: the object that `settings --together --json` prints.

use serde::Serialize;

use super::settings_data::{BoardFacts, CutterData, board_facts};
use super::step_data::{CutStepData, tidy};
use super::{Changes, OrderPart, OrderStep, Settings, WholeOrder};
use crate::fault::Certain;

/// Name and version of the object; another version means that a key changed its meaning or went away.
const SCHEMA: &str = "backline-bench-order/1";

/// A whole order as data: lengths in millimetres where they are numbers, as read off a scale where they are text.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct WholeOrderData {
    #[cfg_attr(feature = "schema", schemars(extend("const" = SCHEMA)))]
    schema: &'static str,
    cutter: Option<CutterData>,
    mats: Vec<MatData>,
    parts: Vec<OrderPartData>,
    changes: Changes,
    at_least: Changes,
    proven: bool,
    mat_by_mat: Changes,
    cautions: Vec<&'static str>,
}

/// A mat of the order, with all that is to be known of its boards but the order of their cuts.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct MatData {
    name: String,
    /// How many of it are made.
    mats: u32,
    boards: Vec<BoardFacts>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct OrderPartData {
    /// How many boards lie above these, which they are taped to.
    layer: usize,
    thickness: f64,
    steps: Vec<OrderStepData>,
}

/// A cut: the place of its mat among `mats` and of its board in the mat, counted from zero, and the step.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct OrderStepData {
    mat: usize,
    board: usize,
    #[serde(flatten)]
    step: CutStepData,
}

impl WholeOrderData {
    /// Tells a whole order.
    #[must_use]
    pub fn new(order: &WholeOrder) -> Self {
        let mut number = 0;
        let mut step = |step: &OrderStep| {
            number += 1;
            let (settings, cut) = order.settings(step).zip(order.cut(step)).certain("cut of this step");
            let data = CutStepData::new(settings, number, &step.step, cut);
            OrderStepData { mat: step.mat, board: step.step.board, step: data }
        };
        let part = |part: &OrderPart| OrderPartData {
            layer: part.layer,
            thickness: tidy(part.thickness),
            steps: part.steps.iter().map(&mut step).collect(),
        };
        Self {
            schema: SCHEMA,
            cutter: order.mats.first().map(|mat| CutterData::new(&mat.cutter)),
            mats: order.mats.iter().map(MatData::new).collect(),
            parts: order.parts.iter().map(part).collect(),
            changes: order.changes,
            at_least: order.at_least,
            proven: order.is_proven(),
            mat_by_mat: order.mat_by_mat,
            cautions: order.mats.first().map_or_else(Vec::new, |mat| mat.cutter.cautions().to_vec()),
        }
    }
}

impl MatData {
    fn new(settings: &Settings) -> Self {
        let boards = settings.boards.iter().map(|board| board_facts(settings, board)).collect();
        Self { name: settings.name.clone(), mats: settings.mats, boards }
    }
}

/// Returns the JSON Schema of [`WholeOrderData`].
#[cfg(feature = "schema")]
#[must_use]
pub fn whole_order_schema() -> serde_json::Value {
    crate::job::output_schema_of::<WholeOrderData>()
}
