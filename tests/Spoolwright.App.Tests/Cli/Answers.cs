using Spoolwright.Bench;

namespace Spoolwright.App.Tests.Cli;

/// <summary>Invented readings for the command line to print.</summary>
internal static class Answers
{
    public static Reading Of(Quantity quantity, double value, double? uncertainty, Channel channel = Channel.Both, double? hz = null) =>
        new()
        {
            Quantity = quantity.Id,
            Value = value,
            Unit = quantity.Unit,
            Uncertainty = uncertainty,
            Channel = channel,
            FrequencyHz = hz,
            Method = "invented for this test",
        };

    public static IReadOnlyList<Reading> Speed { get; } =
    [
        Of(Quantity.SpeedError, 0.4521, 0.0023) with
        {
            Parts = [new UncertaintyPart("noise", 0.0023), new UncertaintyPart("interface", null)],
        },
        Of(Quantity.Drift, -0.0312, 0.0041),
        Of(Quantity.QuasiPeak, 0.0987, 0.0062),
        Of(Quantity.WeightedRms, 0.0612, null),
        Of(Quantity.FlutterLine, 0.052, 0.0031, hz: 4.04) with { Part = "capstan", Confidence = 0.93 },
        Of(Quantity.FlutterLine, 0.011, 0.0029, hz: 17.3),
    ];

    public static IReadOnlyList<Reading> Playback { get; } =
    [
        Of(Quantity.ToneLevel, -12.0312, 0.0101, Channel.Left, 1000),
        Of(Quantity.ToneLevel, -12.4471, 0.0102, Channel.Right, 1000),
        Of(Quantity.ToneLevel, -22.9, 0.031, Channel.Left, 1000),
        Of(Quantity.ToneLevel, -23.2, 0.031, Channel.Right, 1000),
        Of(Quantity.ToneLevel, -25.81, 0.11, Channel.Left, 16000),
        Of(Quantity.ToneLevel, -27.3, 0.12, Channel.Right, 16000),
        Of(Quantity.Response, 1.25, 0.55, Channel.Left, 31.5) with { Judgeable = false },
        Of(Quantity.Response, 1.1, 0.5, Channel.Right, 31.5) with { Judgeable = false },
        Of(Quantity.Response, -2.9, 0.21, Channel.Left, 16000),
        Of(Quantity.Response, -4.2, 0.2, Channel.Right, 16000),
        Of(Quantity.ChannelBalance, 0.4159, 0.0144),
    ];
}
