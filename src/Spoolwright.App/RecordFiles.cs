using Spoolwright.Reports;



namespace Spoolwright.App;

/// <summary>Writes a record's files, each whole or not at all.</summary>
internal static class RecordFiles
{
    /// <summary>Writes the page and the printed form; null leaves one out.</summary>
    public static void Write(RecordData record, string? html, string? pdf)
    {
        if (html is not null)
            Whole(html, stream =>
            {
                using var writer = new StreamWriter(stream, leaveOpen: true);
                writer.Write(HtmlRecord.Write(record));
            });
        if (pdf is not null)
            Whole(pdf, stream => PdfRecord.Write(record, stream));
    }

    // Beside first, then renamed: a reader never meets half a record.
    private static void Whole(string path, Action<Stream> write)
    {
        var beside = path + ".part";
        using (var stream = File.Create(beside))
            write(stream);
        File.Move(beside, path, overwrite: true);
    }
}
