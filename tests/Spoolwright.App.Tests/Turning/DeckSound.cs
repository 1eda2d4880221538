using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;
using Channel = Spoolwright.Bench.Channel;

namespace Spoolwright.App.Tests.Turning;

/// <summary>Readings of a turned deck as a person gets them: a capture of its sound, all noises on, measured by the catalogue.</summary>
internal sealed class DeckSound(TurnedDeck deck)
{
    private const int RateHz = 48000;
    private const double TurnedBackSeconds = 33;
    private long _passes;

    private Channel Channel => deck.Pass.Side == Spoolwright.Practice.Deck.PracticeSide.Left ? Channel.Left : Channel.Right;

    /// <summary>A reading for each target of the deck's job.</summary>
    public IReadOnlyList<ControlReading> Read()
    {
        _passes++;
        var played = deck.Job.OfRecord ? null : Played();
        var recorded = deck.Targets.Any(t => t.Quantity != "overbias") && deck.Job.OfRecord ? Recorded() : null;
        return [.. deck.Targets.Select(t => t.Quantity == "overbias" ? Overbias(t.FrequencyHz!.Value) : Of((played ?? recorded)!, t))];
    }

    private ControlReading Of(MeasurementResult result, TurnTarget target)
    {
        var fitting = result
            .Readings.Where(r =>
                r.Quantity == target.Quantity
                && r.FrequencyHz == target.FrequencyHz
                && (target.Quantity == "time-skew" || r.Channel == Channel)
            )
            .ToArray();
        Assert.True(
            fitting.Length > 0,
            $"no {target.Quantity} at {target.FrequencyHz} Hz: {string.Join(" ", result.Notes.Select(n => n.Text))}"
        );
        // A tone of the multitone is sent 10 dB lower than the one that the target speaks of.
        var sentLower = deck.Job.OfRecord && target.Quantity == "tone-level" ? 10 : 0;
        return new ControlReading(fitting[0].Value + sentLower, fitting[0].Uncertainty);
    }

    private MeasurementResult Played()
    {
        var tape = DeckTruth.Tape(deck.Pass.SpeedCmPerS);
        var options = new PlayOptions
        {
            Direction = deck.Pass.Direction,
            SpeedCmPerS = deck.Pass.SpeedCmPerS,
            SampleRateHz = RateHz,
            DurationSeconds = 10.5,
            Seed = _passes,
        };
        using var session = deck.Board.Deck.Play(tape, options);
        using var sound = Captured(session.Sound);
        var leaflet = TestTapeFile.Parse(TestTapeLeaflet.ToJson(tape)).Value;
        return Catalogue
            .Find(deck.Job.Word == "azimuth" ? "azimuth" : "playback")!
            .Measure!(sound, new MeasurementSettings { TestTape = leaflet }, null);
    }

    private MeasurementResult Recorded()
    {
        using var sound = Monitored(ProgramList.Find("multitone")!, null, [], 35);
        return Catalogue.Find("record")!.Measure!(sound, MeasurementSettings.None, null);
    }

    // Bias is turned from far too little over the peak, back to where the trimmer stands, and held there.
    private ControlReading Overbias(double hertz)
    {
        using var sound = Monitored(ProgramList.Find("bias")!, hertz, [new(3, -12), new(TurnedBackSeconds, 6), new(37, 0)], 44);
        var result = Catalogue.Find("bias")!.Measure!(sound, MeasurementSettings.None, null);
        var over = result.Readings.First(r => r.Quantity == "overbias" && r.Channel == Channel);

        // Short of the peak the drop counts as negative, as the turn command takes it from a file of readings. Where the side is unknown
        // that command asks for the sign, and whoever turns back knows it: whether the level went over its peak once more on the way.
        var trace = result.Traces.Single(t => t.Id == "bias-level" && t.Channel == Channel);
        var back = trace.Y.Where((_, i) => trace.X[i] > TurnedBackSeconds).ToArray();
        var isUnder = over.Class == "under" || (over.Class == "side-unknown" && back.Max() - back[^1] > over.Value / 2);
        return new ControlReading(isUnder ? -over.Value : over.Value, over.Uncertainty);
    }

    private SoundFileReader Monitored(ProgramKind kind, double? hertz, IReadOnlyList<BiasMove> moves, double seconds)
    {
        var program = ProgramList.Make(kind, hertz, kind.SteadySeconds is null ? null : seconds - 5);
        using var fed = new ProgramSound(program, RateHz, -12, Sides.Both);
        var options = new RecordOptions
        {
            Direction = deck.Pass.Direction,
            SpeedCmPerS = deck.Pass.SpeedCmPerS,
            Setting = deck.Pass.Setting,
            SampleRateHz = RateHz,
            Seed = _passes,
            BiasMoves = moves,
        };
        using var session = deck.Board.Deck.Monitor(
            RecordedTape.Blank(deck.Pass.Stock, deck.Pass.SpeedCmPerS, RateHz),
            options,
            fed,
            seconds
        );
        return Captured(session.Sound);
    }

    private static SoundFileReader Captured(SoundSource sound)
    {
        var stream = new MemoryStream();
        using (var writer = new WavWriter(stream, RateHz, 2, WavSamples.Integer24, leaveOpen: true))
        {
            var (left, right) = (new float[4096], new float[4096]);
            for (int got; (got = sound.Read(left, right)) > 0;)
                writer.Write(left.AsSpan(0, got), right.AsSpan(0, got));
        }

        stream.Position = 0;
        return SoundFile.Open(stream);
    }
}
