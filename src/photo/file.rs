//! Picture files as they are read: JPEG or PNG.

use std::fmt;
use std::io::Cursor;
use std::sync::{Arc, OnceLock};

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{CompressionType, FilterType as RowFilter, PngEncoder};
use image::imageops::FilterType;
use image::metadata::Orientation;
use image::{DynamicImage, ExtendedColorType, ImageDecoder, ImageEncoder, ImageFormat, ImageReader, Limits, RgbImage};

use super::png_chunks::{PNG_SIGNATURE, png_chunks};
use super::{LARGEST_FILE, PhotoError, Raster, RasterForm};
use crate::limits::has_room_for_pixels;

/// Pictures of more pixels are refused: they would need over a gigabyte to open.
const MOST_PIXELS: u64 = 200_000_000;
/// Quality of JPEG copies: high enough that nothing shows, a third of the size of the best.
const QUALITY: u8 = 90;

/// A picture file that has been looked at.
#[derive(Clone)]
pub struct Photo {
    bytes: Arc<[u8]>,
    format: ImageFormat,
    width: u32,
    height: u32,
    orientation: Orientation,
    /// The last copy made, which several formats ask for one after the other.
    copy: OnceLock<(u32, Result<Raster, PhotoError>)>,
}

impl Photo {
    /// Looks at the bytes of a JPEG or PNG file: its form, size and which side is up. The pixels are not read yet.
    ///
    /// # Errors
    ///
    /// Returns a [`PhotoError`] if it is another kind of file, too large, or has no sound header.
    pub fn read(bytes: impl Into<Arc<[u8]>>) -> Result<Self, PhotoError> {
        let bytes = bytes.into();
        if bytes.len() > LARGEST_FILE {
            return Err(error("it is larger than 64 MiB", "save a smaller copy"));
        }
        let format = image::guess_format(&bytes)
            .ok()
            .filter(|format| matches!(format, ImageFormat::Jpeg | ImageFormat::Png))
            .ok_or_else(|| error("it is neither a JPEG nor a PNG file", "save it as one of the two"))?;
        let bytes = if format == ImageFormat::Png { needed_chunks(&bytes).into() } else { bytes };
        let mut photo =
            Self { bytes, format, width: 0, height: 0, orientation: Orientation::NoTransforms, copy: OnceLock::new() };
        let mut decoder = photo.decoder()?;
        let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
        let (width, height) = decoder.dimensions();
        drop(decoder);
        photo.orientation = orientation;
        if width == 0 || height == 0 || u64::from(width) * u64::from(height) > MOST_PIXELS {
            let message = format!("it is {width} × {height} pixels");
            return Err(PhotoError { message, help: "save a copy of at most 200 million pixels" });
        }
        if !has_room_for_pixels(u64::from(width) * u64::from(height)) {
            let message = format!("it is {width} × {height} pixels, more than are allowed here");
            return Err(PhotoError { message, help: "save a smaller copy" });
        }
        let turned = matches!(
            photo.orientation,
            Orientation::Rotate90 | Orientation::Rotate270 | Orientation::Rotate90FlipH | Orientation::Rotate270FlipH
        );
        (photo.width, photo.height) = if turned { (height, width) } else { (width, height) };
        Ok(photo)
    }

    /// Returns width and height in pixels as seen upright.
    #[must_use]
    pub const fn size(&self) -> (u32, u32) {
        (self.width, self.height)
    }

    /// Returns an upright copy whose longer side has at most so many pixels, on white where it is transparent.
    ///
    /// # Errors
    ///
    /// Returns a [`PhotoError`] if the pixels cannot be read.
    pub fn copy(&self, longest: u32) -> Result<Raster, PhotoError> {
        let make = || (longest, self.make_copy(longest));
        match self.copy.get_or_init(make) {
            (made, copy) if *made == longest => copy.clone(),
            _ => self.make_copy(longest),
        }
    }

    fn make_copy(&self, longest: u32) -> Result<Raster, PhotoError> {
        let decoder = self.decoder()?;
        let mut picture = DynamicImage::from_decoder(decoder).map_err(|why| unreadable(&why))?;
        picture.apply_orientation(self.orientation);
        let longest = longest.max(1);
        if picture.width().max(picture.height()) > longest {
            picture = picture.resize(longest, longest, FilterType::Triangle);
        }
        let flat = on_white(picture);
        let (width, height) = flat.dimensions();
        let mut bytes = Vec::new();
        let form = match self.format {
            ImageFormat::Jpeg => {
                let encoder = JpegEncoder::new_with_quality(&mut bytes, QUALITY);
                encoder.write_image(&flat, width, height, ExtendedColorType::Rgb8).map_err(|why| unreadable(&why))?;
                RasterForm::Jpeg
            }
            _ => {
                let encoder = PngEncoder::new_with_quality(&mut bytes, CompressionType::Default, RowFilter::Adaptive);
                encoder.write_image(&flat, width, height, ExtendedColorType::Rgb8).map_err(|why| unreadable(&why))?;
                RasterForm::Png
            }
        };
        Ok(Raster { width, height, form, bytes: bytes.into() })
    }

    fn decoder(&self) -> Result<impl ImageDecoder + '_, PhotoError> {
        let mut reader = ImageReader::with_format(Cursor::new(&self.bytes), self.format);
        let mut limits = Limits::default();
        // Eight bytes for each pixel of the largest picture.
        limits.max_alloc = Some(8 * MOST_PIXELS);
        reader.limits(limits);
        reader.into_decoder().map_err(|why| unreadable(&why))
    }
}

impl Raster {
    /// Returns its pixels row by row from the top, three bytes each: red, green, blue.
    ///
    /// # Errors
    ///
    /// Returns a [`PhotoError`] if the bytes are not what the raster says of them.
    pub(crate) fn colours(&self) -> Result<Vec<u8>, PhotoError> {
        let format = match self.form {
            RasterForm::Jpeg => ImageFormat::Jpeg,
            RasterForm::Png => ImageFormat::Png,
        };
        let picture = image::load_from_memory_with_format(&self.bytes, format).map_err(|why| unreadable(&why))?;
        let picture = picture.into_rgb8();
        if picture.dimensions() != (self.width, self.height) {
            return Err(error("its size is not the one that it states", "save it again"));
        }
        Ok(picture.into_raw())
    }
}

/// Takes transparency away: what is behind it is white paper.
fn on_white(picture: DynamicImage) -> RgbImage {
    if !picture.color().has_alpha() {
        return picture.into_rgb8();
    }
    let picture = picture.into_rgba8();
    RgbImage::from_fn(picture.width(), picture.height(), |x, y| {
        let [red, green, blue, alpha] = picture.get_pixel(x, y).0;
        let over = |part: u8| {
            let part = u32::from(part) * u32::from(alpha) + 255 * (255 - u32::from(alpha));
            ((part + 127) / 255) as u8
        };
        image::Rgb([over(red), over(green), over(blue)])
    })
}

fn error(message: &str, help: &'static str) -> PhotoError {
    PhotoError { message: message.to_owned(), help }
}

fn unreadable(why: &image::ImageError) -> PhotoError {
    PhotoError {
        message: format!("its pixels cannot be read ({why})"),
        help: "open it in a picture program and save it again",
    }
}

impl PartialEq for Photo {
    fn eq(&self, other: &Self) -> bool {
        self.bytes == other.bytes
    }
}

impl fmt::Debug for Photo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Photo({:?}, {} × {} pixels, {} bytes)", self.format, self.width, self.height, self.bytes.len())
    }
}

/// Returns a PNG file with the chunks alone that say what its pixels are and which side is up.
///
/// Colour profiles and texts are packed, and a reader unpacks them before anyone asks for them: a few kilobytes may become
/// gigabytes. A file whose last chunk is cut off is left as it is, for the reader to say so.
fn needed_chunks(bytes: &[u8]) -> Vec<u8> {
    let (signature, rest) = bytes.split_at(PNG_SIGNATURE.min(bytes.len()));
    let mut kept = signature.to_vec();
    let mut length = 0;
    for chunk in png_chunks(bytes) {
        length += chunk.whole.len();
        if [b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND", b"eXIf"].iter().any(|kind| *kind == chunk.kind) {
            kept.extend_from_slice(chunk.whole);
        }
        if chunk.kind == b"IEND" {
            return kept;
        }
    }
    kept.extend_from_slice(rest.get(length..).unwrap_or_default());
    kept
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use image::{ImageFormat, Rgba, RgbaImage};

    use super::{Photo, RasterForm};

    fn file(format: ImageFormat, width: u32, height: u32, alpha: u8) -> Vec<u8> {
        let picture = RgbaImage::from_fn(width, height, |x, _| Rgba([(x * 3) as u8, 80, 40, alpha]));
        let mut bytes = Cursor::new(Vec::new());
        let picture = image::DynamicImage::from(picture);
        let picture = if format == ImageFormat::Jpeg { picture.into_rgb8().into() } else { picture };
        picture.write_to(&mut bytes, format).unwrap_or_default();
        bytes.into_inner()
    }

    #[test]
    fn a_copy_is_no_larger_than_asked_and_keeps_its_form() {
        for (format, form) in [(ImageFormat::Jpeg, RasterForm::Jpeg), (ImageFormat::Png, RasterForm::Png)] {
            let photo = Photo::read(file(format, 60, 40, 255)).ok();
            assert_eq!(photo.as_ref().map(Photo::size), Some((60, 40)));
            let copy = |longest| photo.as_ref().and_then(|photo| photo.copy(longest).ok());
            assert!(copy(30).is_some_and(|copy| (copy.width, copy.height, copy.form) == (30, 20, form)));
            assert!(copy(500).is_some_and(|copy| (copy.width, copy.height) == (60, 40)));
        }
    }

    #[test]
    fn what_is_transparent_is_white() {
        let photo = Photo::read(file(ImageFormat::Png, 4, 4, 0)).ok();
        let copy = photo.and_then(|photo| photo.copy(4).ok());
        let seen = copy.and_then(|copy| image::load_from_memory(&copy.bytes).ok()).map(image::DynamicImage::into_rgb8);
        assert!(seen.is_some_and(|seen| seen.pixels().all(|pixel| pixel.0 == [255, 255, 255])));
    }

    #[test]
    fn colour_profiles_are_not_unpacked() {
        let mut info = png::Info::with_size(6, 4);
        info.color_type = png::ColorType::Rgb;
        info.icc_profile = Some(vec![0; 8 << 20].into());
        let mut bytes = Vec::new();
        let header = png::Encoder::with_info(&mut bytes, info).and_then(png::Encoder::write_header);
        assert!(header.and_then(|mut writer| writer.write_image_data(&[7; 72])).is_ok());
        assert!(bytes.len() > 5000, "the profile is packed in the file: {}", bytes.len());
        let photo = Photo::read(bytes).ok();
        assert!(photo.as_ref().is_some_and(|photo| photo.bytes.len() < 200 && photo.size() == (6, 4)));
        assert!(photo.is_some_and(|photo| photo.copy(6).is_ok()));
    }

    #[test]
    fn other_files_are_refused_in_words() {
        for (bytes, expected) in [
            (b"GIF89a".to_vec(), "neither"),
            (Vec::new(), "neither"),
            (b"<svg/>".to_vec(), "neither"),
            (file(ImageFormat::Png, 9, 9, 255).into_iter().take(20).collect(), "cannot be read"),
        ] {
            let error = Photo::read(bytes).err();
            assert!(error.as_ref().is_some_and(|error| error.message.contains(expected)), "{error:?}");
        }
        let cut = file(ImageFormat::Png, 90, 90, 255);
        let half: Vec<u8> = cut[..cut.len() / 2].to_vec();
        assert!(Photo::read(half).is_ok_and(|photo| photo.copy(9).is_err()));
    }
}
