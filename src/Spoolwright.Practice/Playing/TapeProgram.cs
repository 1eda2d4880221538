using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Playing;

/// <summary>Everything recorded on a tape, in the order of its places, as one pass brings it to the interface.</summary>
internal sealed class TapeProgram
{
    private const double ToneFade = 0.004;

    private readonly ReplayPath _left;
    private readonly ReplayPath _right;
    private readonly double _rate;
    private readonly PracticeTape _tape;

    /// <param name="deck">The deck that plays.</param>
    /// <param name="tape">What is recorded.</param>
    /// <param name="options">The pass.</param>
    /// <param name="rate">Mean speed over the tape's own speed.</param>
    public TapeProgram(PracticeDeck deck, PracticeTape tape, PlayOptions options, double rate)
    {
        _tape = tape;
        _rate = rate;
        _left = new ReplayPath(deck, tape, options, PracticeSide.Left);
        _right = new ReplayPath(deck, tape, options, PracticeSide.Right);
        var items = new List<ProgramItem>();
        var place = 0.0;
        for (var i = 0; i < tape.Tones.Count; i++)
        {
            var tone = tape.Tones[i];
            if (tone.Announced)
                items.AddRange(Announcement.Syllables(new NoiseStream(tape.Seed, $"voice {i}"), place, tone.GapSeconds).Select(Voice));
            place += tone.GapSeconds;
            items.Add(Tone(tone, place));
            place += tone.Seconds;
        }

        Items = items;
    }

    /// <summary>The items, none overlapping the next.</summary>
    public IReadOnlyList<ProgramItem> Items { get; }

    /// <summary>What the left head track gathers over a track just covered, amplitude.</summary>
    public double PickUpLeft(double tapeHz) => _left.PickUp(tapeHz);

    /// <summary>What the right head track gathers over a track just covered, amplitude.</summary>
    public double PickUpRight(double tapeHz) => _right.PickUp(tapeHz);

    private ProgramItem Tone(PracticeTone tone, double start)
    {
        var level = ReplayPath.Decibels(tone.LevelDb + tone.ErrorDb);
        var partials = new List<Partial> { Partial(1, tone.FrequencyHz, level) };

        // Saturation of the tape by its odd, cubic part: the third harmonic's share grows with the square of the level.
        var third = _tape.ThirdHarmonicPercent / 100 * level * level * level;
        if (third > 0 && 3 * tone.FrequencyHz * _rate < 40000)
            partials.Add(Partial(3, 3 * tone.FrequencyHz, third));
        return new ProgramItem
        {
            Start = start,
            End = start + tone.Seconds,
            Fade = Math.Min(ToneFade, tone.Seconds / 4),
            Hertz = tone.FrequencyHz,
            Partials = partials,
            WavelengthUm = _left.WavelengthUm(tone.FrequencyHz),
            SlopeLeft = _left.SpeedSlope(tone.FrequencyHz, _rate),
            SlopeRight = _right.SpeedSlope(tone.FrequencyHz, _rate),
            Tone = tone,
        };
    }

    private ProgramItem Voice(Syllable syllable) => new()
    {
        Start = syllable.Start,
        End = syllable.Start + syllable.Seconds,
        Fade = syllable.Seconds * 0.3,
        Hertz = syllable.PitchHz,
        GlideHzPerSecond = syllable.GlideHzPerSecond,
        Partials = [.. syllable.Levels.Select((level, k) => Partial(k + 1, (k + 1) * syllable.PitchHz, level))],
        WavelengthUm = _left.WavelengthUm(syllable.PitchHz * 5),
    };

    private Partial Partial(int multiple, double hertz, double level)
    {
        var left = _left.Response(hertz, _rate) * level;
        var right = _right.Response(hertz, _rate) * level;
        return new Partial(multiple, left.Magnitude, right.Magnitude, left.Phase / (2 * Math.PI), right.Phase / (2 * Math.PI));
    }
}
