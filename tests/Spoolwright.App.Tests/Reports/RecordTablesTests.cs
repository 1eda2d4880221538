using System.Globalization;
using System.Text.Json;
using Spoolwright.Bench;
using Spoolwright.Reports;

namespace Spoolwright.App.Tests.Reports;

/// <summary>CSV and JSON, for programs.</summary>
public sealed class RecordTablesTests
{
    [Fact]
    public void Csv_HasALineForEveryReading_ToTheLastBit()
    {
        RecordData data = SampleRecord.Data();
        List<string[]> lines = Parse(CsvRecord.Write(data));
        var readings = data.Passes.SelectMany(p => p.Pass.Readings).ToList();
        int value = Array.IndexOf(lines[0], "value"), uncertainty = Array.IndexOf(lines[0], "uncertainty"), quantity =
            Array.IndexOf(lines[0], "quantity");
        Assert.All(lines, l => Assert.Equal(lines[0].Length, l.Length));
        var measured = lines.Skip(1).Where(l => l[value].Length > 0).ToList();
        Assert.Equal(readings.Select(r => (r.Quantity, r.Value)), measured
            .Select(l => (l[quantity], double.Parse(l[value], CultureInfo.InvariantCulture))));
        Assert.Equal(readings.Select(r => r.Uncertainty), measured
            .Select(l => l[uncertainty].Length == 0 ? (double?)null : double.Parse(l[uncertainty], CultureInfo.InvariantCulture)));
        Assert.Contains(lines, l => l[value].Length == 0 && l.Contains("not-measured")
            && l.Any(f => f.Contains("turned to tar", StringComparison.Ordinal)));
    }

    [Fact]
    public void Csv_FieldsThatBeginLikeAFormula_StayText()
    {
        RecordData data = SampleRecord.Data();
        string csv = CsvRecord.Write(data with { Deck = data.Deck with { SerialNumber = "=1+1, \"x\"" } });
        Assert.Equal("'=1+1, \"x\"", Parse(csv)[1][1]);
    }

    [Fact]
    public void Json_HoldsEveryReadingAndCurve()
    {
        RecordData data = SampleRecord.Data();
        using JsonDocument json = JsonDocument.Parse(JsonRecord.Write(data));
        var measurements = json.RootElement.GetProperty("conditions").EnumerateArray()
            .SelectMany(c => c.GetProperty("passes").EnumerateArray()).SelectMany(p => p.GetProperty("measurements").EnumerateArray())
            .ToList();
        Assert.Equal(data.Passes.SelectMany(p => p.Pass.Readings).Select(r => r.Value),
            measurements.SelectMany(m => m.GetProperty("result").GetProperty("readings").EnumerateArray())
                .Select(r => r.GetProperty("value").GetDouble()));
        Assert.Equal(data.Passes.SelectMany(p => p.Pass.Traces).Count(), measurements
            .Sum(m => m.GetProperty("result").GetProperty("traces").GetArrayLength()));
        Assert.Equal("as-found", json.RootElement.GetProperty("conditions")[0].GetProperty("passes")[0].GetProperty("mark").GetString());
        Assert.Equal("A7-00412", json.RootElement.GetProperty("deck").GetProperty("serialNumber").GetString());
    }

    [Theory]
    [InlineData(0.04312, 0.0021, "%", "speed-error", "+0.0431")]
    [InlineData(-0.04312, 0.21, "%", "speed-error", "−0.04")]
    [InlineData(-0.001, 0.21, "dB", "response", "0.00")]
    [InlineData(12.3, 4.0, "arcmin", "azimuth-angle", "+12.3")]
    [InlineData(0.0512, 0.0030, "%", "wow-flutter-rms", "0.0512")]
    public void Value_IsRoundedToTwoFiguresOfItsUncertainty(double value, double uncertainty, string unit, string quantity,
        string expected) =>
        Assert.Equal(expected, Figures.Value(new Reading
        {
            Quantity = quantity,
            Value = value,
            Unit = unit,
            Uncertainty = uncertainty,
            Method = "m"
        }));

    /// <summary>A reader of RFC 4180, apart from the writer.</summary>
    private static List<string[]> Parse(string csv)
    {
        var lines = new List<string[]>();
        var fields = new List<string>();
        var field = new System.Text.StringBuilder();
        bool quoted = false;
        for (int i = 0; i < csv.Length; i++)
        {
            char c = csv[i];
            if (quoted)
            {
                if (c == '"' && i + 1 < csv.Length && csv[i + 1] == '"')
                    field.Append(csv[++i]);
                else if (c == '"')
                    quoted = false;
                else
                    field.Append(c);
            }
            else if (c == '"')
            {
                quoted = true;
            }
            else if (c is ',' or '\n')
            {
                fields.Add(field.ToString());
                field.Clear();
                if (c == '\n')
                {
                    lines.Add([.. fields]);
                    fields.Clear();
                }
            }
            else if (c != '\r')
            {
                field.Append(c);
            }
        }

        return lines;
    }
}
