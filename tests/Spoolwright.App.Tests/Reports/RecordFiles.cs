using System.Net;
using System.Text.RegularExpressions;
using Spoolwright.Reports;

namespace Spoolwright.App.Tests.Reports;

/// <summary>The sample record in every format, written once for all tests.</summary>
public sealed partial class RecordFiles : IDisposable
{
    public RecordFiles()
    {
        Folder = Directory.CreateTempSubdirectory("spoolwright-record-").FullName;
        Data = SampleRecord.Data();
        Html = HtmlRecord.Write(Data);
        PdfPath = Path.Combine(Folder, "record.pdf");
        using var pdf = File.Create(PdfPath);
        PdfRecord.Write(Data, pdf);
    }

    internal RecordData Data { get; }

    public string Folder { get; }

    public string Html { get; }

    public string PdfPath { get; }

    /// <summary>The page as it is read: tags and style gone, every run of white space one blank.</summary>
    public string HtmlText => Text(Html);

    public static string Text(string html) => Blank().Replace(WebUtility.HtmlDecode(Tag().Replace(Style().Replace(html, " "), " ")), " ");

    public void Dispose() => Directory.Delete(Folder, recursive: true);

    [GeneratedRegex("<style>.*?</style>", RegexOptions.Singleline, 5000)]
    private static partial Regex Style();

    [GeneratedRegex("<[^>]*>", RegexOptions.None, 5000)]
    private static partial Regex Tag();

    [GeneratedRegex(@"\s+", RegexOptions.None, 5000)]
    private static partial Regex Blank();
}
