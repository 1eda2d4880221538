using System.Globalization;
using System.Text;
using System.Text.Json;
using Spoolwright.Bench.Samples;

namespace Spoolwright.App.Cli;

/// <summary>The figures of a sample as text and as JSON.</summary>
internal static class SampleFigures
{
    private static readonly JsonSerializerOptions Style = new() { PropertyNamingPolicy = JsonNamingPolicy.CamelCase, WriteIndented = true };

    public static string Json(SampleComparison comparison) => JsonSerializer.Serialize(comparison, Style);

    public static string Text(SampleComparison comparison, string folder)
    {
        var text = new StringBuilder();
        void Row(string name, Func<ChannelDifference, string> figure) =>
            text.AppendLine(
                CultureInfo.InvariantCulture,
                $"{name,-44}{figure(comparison.Channels[0]),16}{figure(comparison.Channels[1]),16}"
            );
        text.AppendLine(CultureInfo.InvariantCulture, $"{"Tape against source",-44}{"left",16}{"right",16}");
        Row("Level, dB", c => FormattableString.Invariant($"{c.LevelDb:+0.00;-0.00;0.00} ± {Math.Max(0.01, c.LevelUncertainty):0.00}"));
        foreach (var hz in comparison.Channels.SelectMany(c => c.Bands.Select(b => b.CentreHz)).Distinct().Order())
        {
            Row(
                FormattableString.Invariant($"Octave about {hz:0.#} Hz, dB"),
                c =>
                    c.Bands.Where(b => b.CentreHz.Equals(hz))
                        .Select(b =>
                            b.Uncertainty > 0
                                ? FormattableString.Invariant($"{b.Db:+0.0;-0.0;0.0} ± {Math.Max(0.1, b.Uncertainty):0.0}")
                                : "0"
                        )
                        .FirstOrDefault("not measured")
            );
        }

        Row("All that differs, dB under the source", c => FormattableString.Invariant($"{-c.DifferenceDb:0.0}"));
        Row("Noise, distortion, fast flutter, dB under", c => FormattableString.Invariant($"{-c.RemainderDb:0.0}"));
        Row(
            "Silence, A-weighted, dB under the sound",
            c => c.SilenceDb is { } db ? FormattableString.Invariant($"{-db:0.0}") : "not measured"
        );
        text.AppendLine(
            CultureInfo.InvariantCulture,
            $"Speed {comparison.SpeedErrorPercent:+0.000;-0.000;0.000} %, straying in time about it {comparison.WanderMs:0.000} ms rms"
        );
        text.Append(
            CultureInfo.InvariantCulture,
            $"Written to {folder}: source.wav, tape.wav, switching.wav, difference.wav, sample.html, sample.json"
        );
        return text.ToString();
    }
}
