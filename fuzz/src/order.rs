//! Any bytes as an order of blanks, in every syntax, and as a stock of board: located, resolved and planned.

use std::ops::ControlFlow;
use std::sync::LazyLock;

use backline::job::{Syntax, locate};
use backline::length::Ratio;
use backline::sheets::cutting::Effort;
use backline::sheets::{Columns, Order, Request, Stock};

const ORDER: &str =
    "unit = 'in'\n[[blank]]\nsize = [16, 20]\nquantity = 3\n[[blank]]\nsize = ['11 1/2', 14]\nquantity = 2\n";
const STOCK: &str = "unit = 'in'\n[[sheet]]\nsize = [32, 40]\nprice = 12.5\n[[offcut]]\nsize = [17, 40]\n";

static USUAL: LazyLock<Option<(Order, Stock)>> =
    LazyLock::new(|| Some((Order::read(ORDER, Syntax::Toml).ok()?, Stock::read(STOCK, Syntax::Toml).ok()?)));

fn plan(order: &Order, stock: &Stock) {
    let mut problems = Vec::new();
    let request = Request {
        name: "fuzz".to_owned(),
        ruler: order.ruler(),
        blanks: order.resolve().take(&mut problems).unwrap(),
        shelf: stock.resolve(order.ruler()).take(&mut problems).unwrap(),
        fallout: Vec::new(),
        trim: Ratio::ZERO,
        turnable: true,
    };
    let Some(prepared) = request.prepare().take(&mut problems) else {
        return;
    };
    let effort = Effort { iterations: 20, tidying: 10, ..Effort::default() };
    let plan = prepared.plan(&effort, &mut |_, _| ControlFlow::Continue(()));
    for board in &plan.boards {
        for pattern in &board.patterns {
            let _ = plan.instructions(pattern);
        }
    }
}

pub fn run(bytes: &[u8]) {
    let (Ok(text), Some((usual_order, usual_stock))) = (std::str::from_utf8(bytes), USUAL.as_ref()) else {
        return;
    };
    for syntax in [Syntax::Toml, Syntax::Json] {
        if let Ok(order) = Order::read(text, syntax) {
            let mut problems = Vec::new();
            let blanks = order.resolve().take(&mut problems).unwrap();
            for problem in &problems {
                let range = locate(text, syntax, &problem.place);
                assert!(range.is_none_or(|range| text.get(range).is_some()), "{problem}");
            }
            // Many pieces take long, as they may.
            if blanks.iter().map(|blank| u64::from(blank.quantity)).sum::<u64>() < 200 {
                plan(&order, usual_stock);
            }
        }
        if let Ok(stock) = Stock::read(text, syntax) {
            plan(usual_order, &stock);
        }
    }
    if let Ok(order) = Order::read_csv(text, &Columns::default()) {
        let mut problems = Vec::new();
        let _ = order.resolve().take(&mut problems).unwrap();
        for problem in &problems {
            let range = Order::locate_csv(text, &Columns::default(), &problem.place);
            assert!(range.is_none_or(|range| text.get(range).is_some()), "{problem}");
        }
    }
}
