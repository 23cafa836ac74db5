//! How much of a sheet a machine reaches, and the largest sheet of which it reaches everything.

use kurbo::{Point, Rect, Size, Vec2};

use super::placing::Placing;
use super::profile::Machine;
use super::tool_model::ToolModel;
use super::words;
use super::written::SideUp;
use crate::fault::Certain;
use crate::program::WorkKind;
use crate::tolerance::SAME_LENGTH_MM;

impl Machine {
    /// Returns the part of a sheet on which boards can lie beside each other so that every stroke stays on the bed.
    ///
    /// The sheet lies at the offset of the profile, turned by a quarter if the profile allows that and more of it can be used
    /// then. The rectangle is in millimetres on the sheet seen from its face, y down. Cuts of outer edges that run on, lead-ins
    /// and the reference line have their room beside it. `None` if nothing of the sheet can be used.
    #[must_use]
    pub fn usable_area(&self, sheet: Size) -> Option<Rect> {
        let mut best: Option<Rect> = None;
        for &turned in self.turns() {
            let area = self.area_as_it_lies(sheet, turned);
            if area.area() > best.map_or(0.0, |best| best.area() + SAME_LENGTH_MM) {
                best = Some(area);
            }
        }
        best.map(|area| match self.side_up {
            SideUp::Face => area,
            SideUp::Back => Rect::new(sheet.width - area.x1, area.y0, sheet.width - area.x0, area.y1),
        })
    }

    /// Returns the size in whole millimetres of the largest sheet that the machine reaches all over; `None` if its bed is
    /// unlimited, or holds none.
    #[must_use]
    pub fn largest_sheet(&self) -> Option<Size> {
        self.bed?;
        let turned = self.turns().first().copied().certain("way for a board to lie");
        // A sheet without a size lies where its corner, or its centre, is to lie.
        let bed = self.clear_bed(Size::ZERO, turned, true)?;
        let corner = Placing::corner(&self.controller.origin, turned);
        let longest = |corner: f64, low: f64, high: f64| {
            let length = if corner > 0.0 {
                -low
            } else if corner < 0.0 {
                high
            } else {
                2.0 * high.min(-low)
            };
            (length + SAME_LENGTH_MM).floor()
        };
        let size = Size::new(longest(corner.x, bed.x0, bed.x1), longest(corner.y, bed.y0, bed.y1));
        (size.width > 0.0 && size.height > 0.0).then_some(size)
    }

    /// Returns the part of a sheet that can be used as it lies, seen from the side that lies up; of no size if there is none.
    pub(super) fn area_as_it_lies(&self, sheet: Size, turned: bool) -> Rect {
        let whole = sheet.to_rect();
        let beside = !self.reference_fits(whole, sheet, turned);
        let area = self.clear_bed(sheet, turned, beside).map_or(whole, |bed| whole.intersect(bed));
        if area.width() > 0.0 && area.height() > 0.0 { area } else { Rect::ZERO }
    }

    /// Returns the part of a sheet beside which the reference line lies: the sheet itself if the bed has room for that.
    pub(super) fn reference_part(&self, sheet: Size, turned: bool) -> Rect {
        let whole = sheet.to_rect();
        if self.reference_fits(whole, sheet, turned) { whole } else { self.area_as_it_lies(sheet, turned) }
    }

    /// Returns how far in millimetres strokes along the outer edge of a board reach beyond it.
    pub(super) fn beyond_edge(&self) -> f64 {
        if self.tool(WorkKind::Edge).is_none() {
            return 0.0;
        }
        let lead = if self.over_run.follows_bevel { self.over_run.lead } else { 0.0 };
        // A lead-in comes at half a right angle.
        lead.max(self.lead_in * std::f64::consts::FRAC_1_SQRT_2)
            + self.model(WorkKind::Edge).map_or(0.0, ToolModel::aside)
    }

    /// Returns the bed on a sheet as it lies, less the room that edges need, and less that of the reference line if it is to
    /// have room beside what lies there; `None` if the bed is unlimited.
    fn clear_bed(&self, sheet: Size, turned: bool, with_reference: bool) -> Option<Rect> {
        let mut bed = self.bed_on_sheet(sheet, turned)?.inset(-self.beyond_edge());
        if with_reference {
            let side = words::reference_side(&self.controller.origin, turned) * self.reference_depth(turned);
            bed = Rect::new(
                bed.x0 - side.x.min(0.0),
                bed.y0 - side.y.min(0.0),
                bed.x1 - side.x.max(0.0),
                bed.y1 - side.y.max(0.0),
            );
        }
        Some(bed)
    }

    fn bed_on_sheet(&self, sheet: Size, turned: bool) -> Option<Rect> {
        let bed = self.bed_rect()?;
        let placing = Placing::new(&self.controller.origin, sheet, turned);
        Some(Rect::from_points(placing.back(bed.origin()), placing.back(Point::new(bed.x1, bed.y1))))
    }

    fn reference_fits(&self, part: Rect, sheet: Size, turned: bool) -> bool {
        let Some(bed) = self.bed_on_sheet(sheet, turned) else { return true };
        let bed = bed.inflate(SAME_LENGTH_MM, SAME_LENGTH_MM);
        let points = self.reference_beside(part, turned).into_iter().flatten();
        points.into_iter().all(|Point { x, y }| bed.x0 <= x && x <= bed.x1 && bed.y0 <= y && y <= bed.y1)
    }

    /// Returns how far in millimetres the reference line reaches beyond what it lies beside.
    fn reference_depth(&self, turned: bool) -> f64 {
        let side: Vec2 = words::reference_side(&self.controller.origin, turned);
        let points = self.reference_beside(Rect::ZERO, turned).into_iter().flatten();
        points.map(|point| point.to_vec2().dot(side)).fold(0.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail by panic")]

    use kurbo::{Rect, Size};

    use crate::job::Syntax;
    use crate::machine::{Machine, WrittenMachine};

    fn machine(text: &str) -> Machine {
        let text = format!(
            "format = 'dxf-r12'\nbed = [1000, 700]\n{text}\n[tools.cut]\nkind = 'pen'\n[tools.edge]\nkind = 'pen'\n[tools.scale]\n"
        );
        WrittenMachine::read(&text, Syntax::Toml).unwrap().resolve("test").into_result().unwrap()
    }

    #[test]
    fn a_sheet_on_the_bed_is_used_all_over_and_a_larger_one_as_far_as_the_bed_goes() {
        let plain = machine("side_up = 'face'");
        assert_eq!(plain.usable_area(Size::new(1000.0, 700.0)), Some(Rect::new(0.0, 0.0, 1000.0, 700.0)));
        // The bottom left corner of the sheet lies at zero, and y runs down on the sheet.
        assert_eq!(plain.usable_area(Size::new(1200.0, 900.0)), Some(Rect::new(0.0, 200.0, 1000.0, 900.0)));
        let offset = machine("side_up = 'face'\norigin.offset = [20, 30]");
        assert_eq!(offset.usable_area(Size::new(1000.0, 700.0)), Some(Rect::new(0.0, 30.0, 980.0, 700.0)));
        assert_eq!(offset.largest_sheet(), Some(Size::new(980.0, 670.0)));
        // Face down the same part of the sheet lies on its other side.
        let back = machine("side_up = 'back'\norigin.offset = [20, 30]");
        assert_eq!(back.usable_area(Size::new(1000.0, 700.0)), Some(Rect::new(20.0, 30.0, 1000.0, 700.0)));
    }

    #[test]
    fn every_corner_and_the_centre_give_the_same_largest_sheet() {
        for at in ["bottom-left", "bottom-right", "top-left", "top-right", "centre"] {
            for turn in ["never", "always"] {
                let machine = machine(&format!("turn = '{turn}'\norigin.at = '{at}'"));
                let size = machine.largest_sheet().unwrap();
                let expected = if turn == "never" { Size::new(1000.0, 700.0) } else { Size::new(700.0, 1000.0) };
                assert_eq!(size, expected, "{at} {turn}");
                assert_eq!(machine.usable_area(size), Some(size.to_rect()), "{at} {turn}");
            }
        }
    }

    #[test]
    fn the_reference_line_and_edges_that_run_on_have_room() {
        for at in ["bottom-left", "top-right", "centre"] {
            let text = format!("reference_line = 100\norigin.at = '{at}'\nover_run = {{ rule = 'bevel', lead = 1 }}");
            let machine = machine(&text);
            let size = machine.largest_sheet().unwrap();
            assert!(size.height < 690.0 && size.height > 630.0, "{at}: {size}");
            let area = machine.usable_area(Size::new(1000.0, 700.0)).unwrap();
            assert!(area.height() < 690.0 && area.width() < 1000.0, "{at}: {area}");
        }
    }
}
