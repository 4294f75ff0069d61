//! Films taken apart again: the GIF by the gif library's own reader.

use super::*;
use crate::font::Weight;
use crate::scene::{Layout, Scene, Shape, TextBox};
use ::gif::Repeat;

/// A square that walks over a still ground, with its number.
struct Walk(usize);

impl Picture for Walk {
    fn compose(&self, theme: &Theme) -> Result<Scene, PlotError> {
        let fonts = Fonts::load()?;
        let at = 10.0 * self.0 as f64;
        let square = |left: f64, top: f64, colour: Colour| Shape::Area {
            points: vec![(left, top), (left + 20.0, top), (left + 20.0, top + 20.0), (left, top + 20.0)],
            colour,
        };
        let shapes = vec![square(60.0, 60.0, theme.ink), square(at, 10.0, theme.series_colour(0).line)];
        let number = format!("{}\u{a0}m⁻²", self.0);
        let texts = vec![TextBox::set(&fonts, &number, (10.0, 100.0), (30.0, Weight::Bold, theme.ink))];
        let layout = Layout { width: 200, height: 150, texts, omitted: Vec::new() };
        Ok(Scene { background: theme.background, shapes, layout })
    }
}

/// Counts frames, and calls the work off after so many.
struct Counter(std::sync::atomic::AtomicU64, u64);

impl Counter {
    fn until(most: u64) -> Self {
        Self(std::sync::atomic::AtomicU64::new(0), most)
    }
}

impl Follow for Counter {
    fn advance(&self, frames: u64) {
        self.0.fetch_add(frames, std::sync::atomic::Ordering::Relaxed);
    }

    fn called_off(&self) -> bool {
        self.0.load(std::sync::atomic::Ordering::Relaxed) >= self.1
    }
}

fn reel(count: usize) -> Reel {
    let taken = Reel::take(count, Walk, &Theme::light(), &Counter::until(u64::MAX));
    taken.unwrap_or_else(|error| panic!("{error}")).unwrap_or_else(|| panic!("called off"))
}

fn gif(reel: &Reel) -> Vec<u8> {
    let made = reel.gif(100, (8, 300), &Counter::until(u64::MAX));
    made.unwrap_or_else(|error| panic!("{error}")).unwrap_or_else(|| panic!("called off"))
}

#[test]
fn reference_a_readers_frames_are_the_frames_drawn() {
    let reel = reel(18);
    let bytes = gif(&reel);
    let mut reader =
        ::gif::DecodeOptions::new().read_info(bytes.as_slice()).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!((reader.width(), reader.height(), reader.repeat()), (100, 75, Repeat::Infinite));
    let colours = reader.global_palette().unwrap_or_default().to_vec();
    let mut canvas = vec![0_u8; 100 * 75];
    let mut count = 0;
    while let Some(frame) = reader.read_next_frame().unwrap_or_else(|error| panic!("{error}")) {
        // The last frame is held.
        assert_eq!(frame.delay, if count == 17 { 300 } else { 8 });
        for (n, &index) in frame.buffer.iter().enumerate() {
            let (x, y) = (n % usize::from(frame.width), n / usize::from(frame.width));
            if frame.transparent != Some(index) {
                canvas[(usize::from(frame.top) + y) * 100 + usize::from(frame.left) + x] = index;
            }
        }
        let drawn = reel.pixels(count, (100, 75)).unwrap_or_else(|error| panic!("{error}"));
        for (pixel, &index) in drawn.as_chunks::<4>().0.iter().zip(&canvas) {
            let shown = &colours[3 * usize::from(index)..][..3];
            // Few colours are in this picture, so the palette holds nearly all blends.
            let off = pixel.iter().zip(shown).map(|(a, b)| a.abs_diff(*b)).max();
            assert!(off <= Some(12), "frame {count}: {pixel:?} {shown:?}");
        }
        count += 1;
    }
    assert_eq!(count, 18);
}

#[test]
fn property_the_bytes_do_not_depend_on_the_number_of_threads() {
    let make = || {
        let reel = reel(20);
        (gif(&reel), reel.html("Walk", &[], (8, 300), &Theme::light()))
    };
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(make(), pool.install(make));
}

#[test]
fn property_what_stands_still_is_kept_once() {
    let reel = reel(18);
    // The ground's square once, the walking one and the number once for each frame.
    assert_eq!(reel.elements.len(), 1 + 18 + 18);
}

#[test]
fn property_the_page_loads_nothing_and_ends_its_script_where_it_should() {
    let captions = vec!["</script><b>\"x\" \\ {{frames}}".to_owned()];
    let page = reel(3).html("A & B <i> {{elements}}", &captions, (8, 300), &Theme::light());
    assert!(!page.contains("http") && !page.contains("src=") && !page.contains("@import"));
    assert_eq!(page.matches("</script>").count(), 1);
    assert!(page.contains("<title>A &amp; B &lt;i&gt; {{elements}}</title>"));
    assert!(page.contains(r#""<\/script><b>\"x\" \\ {{frames}}""#));
    assert!(page.contains("prefers-reduced-motion") && page.contains("hold = 3000"));
}

#[test]
fn property_called_off_work_gives_nothing() {
    let none = Reel::take(5, Walk, &Theme::light(), &Counter::until(0));
    assert_eq!(none, Ok(None));
    assert_eq!(reel(40).gif(100, (8, 8), &Counter::until(16)), Ok(None));
}
