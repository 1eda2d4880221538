using Spoolwright.Reports;

namespace Spoolwright.App.Tests.Reports;

public sealed class RecordFilesTests
{
    [Fact]
    public void Sample_Written()
    {
        RecordData data = SampleRecord.Data();
        Directory.CreateDirectory("/tmp/rec/out");
        File.WriteAllText("/tmp/rec/out/r.html", HtmlRecord.Write(data));
        using var pdf = File.Create("/tmp/rec/out/r.pdf");
        PdfRecord.Write(data, pdf);
        File.WriteAllText("/tmp/rec/out/r.csv", CsvRecord.Write(data));
        File.WriteAllText("/tmp/rec/out/r.json", JsonRecord.Write(data));
    }
}
