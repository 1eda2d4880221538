using Spoolwright.Practice.Controls;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Hidden;

/// <summary>A recording kept beside a learner's deck.</summary>
/// <param name="File">File of its flux, without folder.</param>
/// <param name="Direction">Direction it was made in.</param>
/// <param name="SpeedCmPerS">Speed, cm/s.</param>
/// <param name="Stock">Name of the kind of tape.</param>
/// <param name="How">How the head stood that made it.</param>
public sealed record OwnRecording(string File, TapeDirection Direction, double SpeedCmPerS, string Stock, RecordedWith How);

/// <summary>
/// A deck to learn on: one of a make, healthy within small residues, with hidden faults in it and controls to turn. Faults that a trimmer
/// can mend are mended by turning it; dirt and wear stay until somebody looks at the answers.
/// </summary>
public sealed class LearnersDeck
{
    /// <summary>Name of the make.</summary>
    public const string MakeName = "Harnwick 6 R";

    /// <param name="seed">Which specimen, and which faults.</param>
    /// <param name="faults">The faults in it.</param>
    public LearnersDeck(long seed, IReadOnlyList<HiddenFault> faults)
    {
        ArgumentNullException.ThrowIfNull(faults);
        (Seed, HiddenFaults) = (seed, faults);
        var deck = Healthy(seed);
        foreach (var fault in faults)
            deck = fault.Into(deck);
        Board = new ControlBoard(deck);
    }

    /// <summary>Which specimen.</summary>
    public long Seed { get; }

    /// <summary>The answers.</summary>
    public IReadOnlyList<HiddenFault> HiddenFaults { get; }

    /// <summary>Its controls.</summary>
    public ControlBoard Board { get; }

    /// <summary>How many passes have been made, so that each draws noise of its own.</summary>
    public int Passes { get; set; }

    /// <summary>What was recorded on it and kept, at most one a direction; recording again replaces it.</summary>
    public IReadOnlyList<OwnRecording> Own { get; set; } = [];

    /// <summary>A new deck with so many faults drawn from its seed.</summary>
    public static LearnersDeck Draw(long seed, int faults) =>
        new(seed, HiddenFault.Draw(seed, faults, [.. Healthy(seed).Recorder!.Settings.Select(s => s.Name)]));

    /// <summary>A healthy specimen: residues as a careful bench leaves them.</summary>
    public static PracticeDeck Healthy(long seed)
    {
        var draw = new NoiseStream(seed, "residues");
        double Little(double most) => draw.NextBetween(-most, most);
        var deck = AutoReverseDeck.AsLeft with { Name = MakeName, Seed = seed, Recorder = new PracticeRecorder() };
        foreach (var direction in new[] { TapeDirection.Forward, TapeDirection.Reverse })
        {
            var record = new RecordHead
            {
                AzimuthArcmin = Little(0.3),
                GapStaggerUm = Little(0.2),
                ToReplayMm = Math.Round(draw.NextBetween(28, 36), 2),
                EraseDepthDb = draw.NextBetween(70, 78),
                OtherDirectionDb = draw.NextBetween(-70, -62),
            };
            foreach (var side in new[] { PracticeSide.Left, PracticeSide.Right })
            {
                record = record.With(side, c => c with { BiasLeakDb = draw.NextBetween(-86, -76) });
                foreach (var setting in deck.Recorder!.Settings)
                    record = record.With(side, c => c.With(setting.Name, _ => new RecordTrims(Little(0.15), Little(0.3), Little(0.15))));
            }

            deck = deck with { Recorder = deck.Recorder!.With(direction, _ => record) };
        }

        return deck;
    }

    /// <summary>A blank tape by the first word of its kind's name; null: there is none.</summary>
    public static TapeStock? Stock(string word) =>
        TapeStock.All.FirstOrDefault(s => s.Name.StartsWith(word, StringComparison.OrdinalIgnoreCase));
}
