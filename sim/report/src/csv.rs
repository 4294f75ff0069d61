//! Tables for a program, as CSV.

/// A number with ten figures.
pub(super) fn number(value: f64) -> String {
    format!("{value:.9e}")
}

/// A table of a heading and rows.
///
/// # Errors
/// When the writer fails, which it does only for want of memory.
pub(super) fn table<H, R>(heading: H, rows: impl IntoIterator<Item = R>) -> Result<Vec<u8>, csv::Error>
where
    H: IntoIterator<Item: AsRef<[u8]>>,
    R: IntoIterator<Item = String>,
{
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(heading)?;
    for row in rows {
        writer.write_record(row)?;
    }
    writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))
}
