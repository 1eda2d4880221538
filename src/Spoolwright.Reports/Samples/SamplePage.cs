using System.Globalization;
using System.Reflection;
using System.Text;
using Spoolwright.Bench.Samples;
using Spoolwright.Reports.Html;

namespace Spoolwright.Reports.Samples;

/// <summary>
/// A page that plays source and tape in step and goes from one to the other while they play, with the difference in figures. One file,
/// sound and script in it, so that it can be sent or linked as it is.
/// </summary>
public static class SamplePage
{
    /// <summary>Writes it.</summary>
    /// <param name="page">Where to.</param>
    /// <param name="title">What the reader is told it is.</param>
    /// <param name="comparison">The figures.</param>
    /// <param name="sourceWav">The source as a WAV file's bytes.</param>
    /// <param name="tapeWav">The tape, of the same length.</param>
    public static void Write(
        TextWriter page,
        string title,
        SampleComparison comparison,
        ReadOnlySpan<byte> sourceWav,
        ReadOnlySpan<byte> tapeWav
    )
    {
        ArgumentNullException.ThrowIfNull(page);
        ArgumentNullException.ThrowIfNull(comparison);
        page.Write(Resource("sample.html")
            .Replace("{{title}}", HtmlText.Attribute(title), StringComparison.Ordinal)
            .Replace("{{style}}", Resource("sample.css"), StringComparison.Ordinal)
            .Replace("{{script}}", Resource("sample.js"), StringComparison.Ordinal)
            .Replace("{{figures}}", Figures(comparison), StringComparison.Ordinal)
            .Replace("{{source}}", Convert.ToBase64String(sourceWav), StringComparison.Ordinal)
            .Replace("{{tape}}", Convert.ToBase64String(tapeWav), StringComparison.Ordinal));
    }

    private static string Figures(SampleComparison comparison)
    {
        var table = new StringBuilder(
            "<table><thead><tr><th scope=\"col\">Tape against source</th><th scope=\"col\">Left</th><th scope=\"col\">Right</th></tr></thead><tbody>"
        );
        void Row(string name, Func<ChannelDifference, string> figure) =>
            table.Append(
                CultureInfo.InvariantCulture,
                $"<tr><th scope=\"row\">{name}</th><td>{figure(comparison.Channels[0])}</td><td>{figure(comparison.Channels[1])}</td></tr>"
            );
        Row(
            "Level as captured, dB (evened out for listening)",
            c => FormattableString.Invariant($"{c.LevelDb:+0.00;−0.00} ± {Math.Max(0.01, c.LevelUncertainty):0.00}")
        );
        foreach (var hz in comparison.Channels.SelectMany(c => c.Bands.Select(b => b.CentreHz)).Distinct().Order())
        {
            Row(
                FormattableString.Invariant($"Octave about {(hz >= 1000 ? $"{hz / 1000:0.#} kHz" : $"{hz:0.#} Hz")}, dB"),
                c =>
                    c.Bands.Where(b => b.CentreHz.Equals(hz))
                        .Select(b => FormattableString.Invariant($"{b.Db:+0.0;−0.0;0.0}"))
                        .FirstOrDefault("–")
            );
        }

        Row("All that differs, dB under the source", c => FormattableString.Invariant($"{-c.DifferenceDb:0.0}"));
        Row("Noise, distortion and fast flutter, dB under the source", c => FormattableString.Invariant($"{-c.RemainderDb:0.0}"));
        Row(
            "Silence after the end, A-weighted, dB under the sound",
            c => c.SilenceDb is { } db ? FormattableString.Invariant($"{-db:0.0}") : "–"
        );
        table.Append(
            CultureInfo.InvariantCulture,
            $"<tr><th scope=\"row\">Speed, %</th><td colspan=\"2\">{comparison.SpeedErrorPercent:+0.00;−0.00;0.00}</td></tr>"
        );
        table.Append(
            CultureInfo.InvariantCulture,
            $"<tr><th scope=\"row\">Straying in time about the mean speed, ms rms</th><td colspan=\"2\">{comparison.WanderMs:0.00}</td></tr>"
        );
        return table.Append("</tbody></table>").ToString();
    }

    private static string Resource(string name)
    {
        using var stream = Assembly.GetExecutingAssembly().GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"The program lacks its own file {name}.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
