//! The moulding of the frame: four mitred pieces, with light and shade across their profile.

use kurbo::{Point, Rect, Vec2};

use super::painter::Painter;
use crate::colour::Colour;
use crate::geometry::Outline;
use crate::mat::{Moulding, Profile};

/// How far the shadow of the moulding falls on the mat, in millimetres.
const SHADOW_MM: f64 = 1.4;
/// The shadow of the moulding.
const SHADOW: Colour = Colour::new(96, 91, 84);
/// Where the light comes from, x to the right, y down and z towards the viewer: the upper left, a little more from above, so
/// that two pieces that meet in a mitre differ.
const LIGHT: [f64; 3] = [-0.42, -0.62, 0.66];
/// Halfway between the light and the viewer, where a gloss is brightest.
const GLOSS: [f64; 3] = [-0.23, -0.34, 0.91];
/// How sharp the gloss is: the power of the cosine (Blinn).
const GLOSS_POWER: i32 = 18;
/// How much of the way to white the brightest gloss goes.
const GLOSS_SHARE: f64 = 0.22;
/// How much of the way to white a slope goes that is twice as bright as a flat one.
const LIGHTEN: f64 = 0.42;
/// How much of the way to black a slope goes that gets no light.
const DARKEN: f64 = 0.62;
/// A curve of the profile is painted in bands whose slopes differ by no more than this.
const BAND_SLOPE: f64 = 0.06;
/// Bands need not be narrower than this on the sheet, in millimetres.
const BAND_MM: f64 = 0.25;
/// Width of the joint of a mitre on the sheet, in millimetres.
const JOINT_MM: f64 = 0.12;
/// How much of the way to black the joint of a mitre goes.
const JOINT: f64 = 0.3;

/// A stretch of a profile, from the sight edge outwards: its share of the width, and how steeply it rises towards the outside
/// at its start and at its end. Such shapes are common practice, no source.
type ProfileStretch = (f64, f64, f64);

const FLAT: &[ProfileStretch] = &[(0.06, 0.9, 0.9), (0.88, 0.0, 0.0), (0.06, -0.9, -0.9)];
const ROUNDED: &[ProfileStretch] = &[(0.09, 0.15, 0.15), (0.03, 1.7, 1.7), (0.88, 1.0, -1.2)];
const STEPPED: &[ProfileStretch] =
    &[(0.12, 1.1, -0.8), (0.03, -1.7, -1.7), (0.34, 0.0, 0.9), (0.04, 1.9, 1.9), (0.47, 0.8, -1.15)];
const SCOOPED: &[ProfileStretch] = &[(0.06, 1.3, 1.3), (0.56, 0.0, 1.3), (0.1, 0.0, 0.0), (0.28, -0.2, -1.3)];

const fn stretches(profile: Profile) -> &'static [ProfileStretch] {
    match profile {
        Profile::Flat => FLAT,
        Profile::Rounded => ROUNDED,
        Profile::Stepped => STEPPED,
        Profile::Scooped => SCOOPED,
    }
}

/// Paints the moulding round what the frame shows of the mat, and its shadow on the mat at the top and the left.
pub(super) fn paint(seen: Rect, moulding: &Moulding, painter: &mut Painter) {
    let width = moulding.width;
    let outside = seen.inflate(width, width);
    let [outer, inner] = [outside, seen].map(Outline::rectangle);
    let (Some(outer), Some(inner)) = (&outer, &inner) else {
        return;
    };
    painter.shadow(inner, SHADOW_MM.min(0.25 * seen.width().min(seen.height())), SHADOW);
    // Below the bands lies the whole in its own colour, so that nothing shines through between two of them.
    painter.fill([outer, inner], moulding.colour);
    for (from, slope) in bands(moulding.profile, painter.on_sheet(width)) {
        let edge = seen.inflate(from * width, from * width);
        for (side, outwards) in sides(edge, outside) {
            painter.fill(&Outline::polygon(&side), lit(moulding.colour, outwards, slope));
        }
    }
    let half = 0.5 * JOINT_MM / painter.on_sheet(1.0);
    for [from, to] in mitres(seen, outside) {
        let across = (to - from).turn_90().normalize() * half;
        let joint = [from + across, to + across, to - across, from - across];
        painter.fill(&Outline::polygon(&joint), moulding.colour.towards(Colour::BLACK, JOINT));
    }
}

/// Returns where each band of a profile begins, as a share of its width from the sight edge, and its slope. A band is painted
/// from there to the outside, and the next one over it.
fn bands(profile: Profile, on_sheet: f64) -> Vec<(f64, f64)> {
    let mut bands = Vec::new();
    let mut from = 0.0;
    for &(share, start, end) in stretches(profile) {
        let wanted = ((end - start).abs() / BAND_SLOPE).min(share * on_sheet / BAND_MM);
        let count = wanted.ceil().max(1.0) as u32;
        for band in 0..count {
            let middle = (f64::from(band) + 0.5) / f64::from(count);
            bands.push((from + share * f64::from(band) / f64::from(count), start + (end - start) * middle));
        }
        from += share;
    }
    bands
}

/// Returns the four pieces between two rectangles with mitred corners, each with the direction that points outwards.
fn sides(inner: Rect, outer: Rect) -> [([Point; 4], Vec2); 4] {
    let [a, b, c, d] = corners(inner);
    let [e, f, g, h] = corners(outer);
    [
        ([e, f, b, a], Vec2::new(0.0, -1.0)),
        ([f, g, c, b], Vec2::new(1.0, 0.0)),
        ([g, h, d, c], Vec2::new(0.0, 1.0)),
        ([h, e, a, d], Vec2::new(-1.0, 0.0)),
    ]
}

fn mitres(inner: Rect, outer: Rect) -> [[Point; 2]; 4] {
    let [a, b, c, d] = corners(inner);
    let [e, f, g, h] = corners(outer);
    [[a, e], [b, f], [c, g], [d, h]]
}

/// Returns the corners of a rectangle, clockwise from the top left.
const fn corners(rect: Rect) -> [Point; 4] {
    let Rect { x0, y0, x1, y1 } = rect;
    [Point::new(x0, y0), Point::new(x1, y0), Point::new(x1, y1), Point::new(x0, y1)]
}

/// Returns the colour of a surface that rises with a slope in a direction: Lambert's law against a flat surface, and a gloss.
fn lit(colour: Colour, outwards: Vec2, slope: f64) -> Colour {
    let length = slope.hypot(1.0);
    let normal = [-slope * outwards.x / length, -slope * outwards.y / length, 1.0 / length];
    let towards = |[x, y, z]: [f64; 3]| normal[0] * x + normal[1] * y + normal[2] * z;
    let [_, _, flat] = LIGHT;
    let brightness = towards(LIGHT).max(0.0) / flat;
    let matt = if brightness > 1.0 {
        colour.towards(Colour::WHITE, (LIGHTEN * (brightness - 1.0)).min(1.0))
    } else {
        colour.towards(Colour::BLACK, DARKEN * (1.0 - brightness))
    };
    matt.towards(Colour::WHITE, GLOSS_SHARE * towards(GLOSS).max(0.0).powi(GLOSS_POWER))
}

#[cfg(test)]
mod tests {
    use kurbo::Vec2;

    use super::{bands, lit, stretches};
    use crate::colour::Colour;
    use crate::mat::Profile;

    #[test]
    fn the_stretches_of_a_profile_make_up_its_width() {
        for profile in [Profile::Flat, Profile::Rounded, Profile::Stepped, Profile::Scooped] {
            let sum: f64 = stretches(profile).iter().map(|(share, _, _)| share).sum();
            assert!((sum - 1.0).abs() < 1e-12, "{profile:?}");
            let bands = bands(profile, 30.0);
            assert!(bands.len() >= 3 && bands.len() <= 100, "{profile:?}: {}", bands.len());
            assert!(bands.is_sorted_by(|a, b| a.0 < b.0), "{profile:?}");
        }
    }

    #[test]
    fn a_slope_that_looks_to_the_upper_left_is_light() {
        let walnut = Colour::new(92, 62, 42);
        let (top, left) = (Vec2::new(0.0, -1.0), Vec2::new(-1.0, 0.0));
        for outwards in [top, left] {
            // What falls away towards the outside at the top and the left looks to the light.
            let [light, flat, dark] = [-0.8, 0.0, 0.8].map(|slope| lit(walnut, outwards, slope).brightness());
            assert!(light > flat && flat > dark, "{light} {flat} {dark}");
            let opposite = lit(walnut, -outwards, 0.8).brightness();
            assert!((opposite - light).abs() < 1e-12);
        }
        // Two pieces that meet in a mitre can be told apart.
        assert_ne!(lit(walnut, top, 0.8), lit(walnut, left, 0.8));
    }
}
