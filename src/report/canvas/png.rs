//! Pictures as PNG, in a typeface that comes with the program: no font of the machine is asked for.

use std::sync::{Arc, LazyLock};

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::fontdb::Database;
use resvg::usvg::{Options, Tree};
use thiserror::Error;

/// Width of every PNG, pixels: a figure's 90 mm at 450 dots an inch.
pub const WIDTH_PX: u32 = 1600;

/// Tallest PNG, pixels.
const TALLEST_PX: f32 = 16_000.0;

/// The typeface, Noto Sans (SIL Open Font License 1.1), in the two weights of the figures.
static TYPEFACE: LazyLock<Arc<Database>> = LazyLock::new(|| {
    let mut faces = Database::new();
    faces.load_font_data(notosans::REGULAR_TTF.to_vec());
    faces.load_font_data(notosans::BOLD_TTF.to_vec());
    faces.set_sans_serif_family("Noto Sans");
    Arc::new(faces)
});

/// Why there is no PNG.
#[derive(Debug, Error)]
pub enum PngError {
    /// Not a picture.
    #[error("the picture does not read: {0}")]
    Unreadable(#[from] resvg::usvg::Error),
    /// Too tall for its width.
    #[error("it would be {0} pixels tall")]
    TooTall(f32),
    /// Not written.
    #[error(transparent)]
    Unwritten(Box<dyn std::error::Error + Send + Sync>),
}

/// The picture `svg` as PNG on white, [`WIDTH_PX`] wide; the same bytes for the same picture.
///
/// # Errors
/// [`PngError`] for what is no SVG document, or one more than ten times as tall as wide.
pub fn png(svg: &[u8]) -> Result<Vec<u8>, PngError> {
    let options = Options { fontdb: Arc::clone(&TYPEFACE), font_family: "Noto Sans".to_owned(), ..Options::default() };
    let tree = Tree::from_data(svg, &options)?;
    let scale = WIDTH_PX as f32 / tree.size().width();
    let height_px = (scale * tree.size().height()).round().max(1.0);
    let too_tall = PngError::TooTall(height_px);
    if height_px > TALLEST_PX {
        return Err(too_tall);
    }
    let mut canvas = Pixmap::new(WIDTH_PX, height_px as u32).ok_or(too_tall)?;
    canvas.fill(Color::WHITE);
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut canvas.as_mut());
    canvas.encode_png().map_err(|error| PngError::Unwritten(Box::new(error)))
}
