//! The photographs of a document, each written once and as it is.

use std::sync::Arc;

use pdf_writer::types::Predictor;
use pdf_writer::{Filter, Finish, Pdf, Ref};

use super::units::ObjectNumbers;
use crate::photo::{Raster, RasterForm};

/// Photographs as they come into use.
#[derive(Default)]
pub(super) struct Images(Vec<Arc<Raster>>);

impl Images {
    /// Returns the name on the page of a photograph.
    pub(super) fn name(&mut self, raster: &Arc<Raster>) -> String {
        let known = self.0.iter().position(|other| Arc::ptr_eq(other, raster) || other == raster);
        let place = known.unwrap_or_else(|| {
            self.0.push(Arc::clone(raster));
            self.0.len() - 1
        });
        Self::name_at(place)
    }

    fn name_at(place: usize) -> String {
        format!("I{}", place + 1)
    }

    /// Writes the photographs in use and returns them with their names on the page.
    pub(super) fn write(&self, pdf: &mut Pdf, numbers: &mut ObjectNumbers) -> Vec<(String, Ref)> {
        let mut written = Vec::with_capacity(self.0.len());
        for (place, raster) in self.0.iter().enumerate() {
            let id = numbers.next();
            write_image(pdf, id, raster);
            written.push((Self::name_at(place), id));
        }
        written
    }
}

fn write_image(pdf: &mut Pdf, id: Ref, raster: &Raster) {
    let side = |pixels: u32| i32::try_from(pixels).unwrap_or(i32::MAX);
    let rows = raster.png_rows();
    let data = match raster.form {
        RasterForm::Jpeg => raster.bytes.as_ref(),
        RasterForm::Png => rows.as_slice(),
    };
    let mut image = pdf.image_xobject(id, data);
    image.width(side(raster.width)).height(side(raster.height)).bits_per_component(8).interpolate(true);
    image.color_space().device_rgb();
    match raster.form {
        RasterForm::Jpeg => {
            image.filter(Filter::DctDecode);
        }
        // The rows of a PNG file are just what PDF calls PNG predictors.
        RasterForm::Png => {
            image.filter(Filter::FlateDecode);
            image
                .decode_parms()
                .predictor(Predictor::PngOptimum)
                .colors(3)
                .bits_per_component(8)
                .columns(side(raster.width));
        }
    }
    image.finish();
}
