namespace Spoolwright.Signal.Programs;

/// <summary>A kind of program: what it can be made with.</summary>
/// <param name="Name">Name on the command line.</param>
/// <param name="Number">Number in the marker.</param>
/// <param name="Purpose">What it is for, in one sentence.</param>
/// <param name="FrequenciesHz">Frequencies it can be made with, by variant; empty: none to choose.</param>
/// <param name="SteadySeconds">Usual length of a steady program, s; null: its length is fixed.</param>
/// <param name="BriefVariant">Variant in the marker of its brief form, with fewer or shorter steps; null: it has none.</param>
public sealed record ProgramKind(
    string Name,
    int Number,
    string Purpose,
    IReadOnlyList<double> FrequenciesHz,
    double? SteadySeconds,
    int? BriefVariant = null
);

/// <summary>A product of the tones a = 1000 Hz and b = 3150 Hz of the multitone.</summary>
/// <param name="Hz">Where it falls, m·a + n·b, Hz.</param>
/// <param name="TimesA">m.</param>
/// <param name="TimesB">n.</param>
public readonly record struct ToneProduct(double Hz, int TimesA, int TimesB)
{
    /// <summary>Order of the product.</summary>
    public int Order => Math.Abs(TimesA) + Math.Abs(TimesB);
}

/// <summary>
/// Every program there is, as data. Levels are those of common practice (no source) where nothing else is said: response 20 dB under
/// reference level, so that neither tape compression nor the record equalization's lift reaches it.
/// </summary>
public static class ProgramList
{
    private const double ResponseDb = -20;

    /// <summary>The kinds, in the order the work is done.</summary>
    public static IReadOnlyList<ProgramKind> Kinds { get; } =
    [
        new(
            "bias",
            1,
            "A steady tone for finding the bias peak, 1 kHz beside it to tell the side of the peak, both 20 dB under reference.",
            [10_000, 6_300, 5_000, 2_500],
            120
        ),
        new(
            "response",
            2,
            "Steps of a third of an octave from 20 Hz to 20 kHz at 20 dB under reference, with 1 kHz before and after.",
            [],
            null
        ),
        new(
            "multitone",
            10,
            "Many tones at once, other ones left and right: response, separation, intermodulation and skew in one pass.",
            [],
            null,
            BriefVariant: 1
        ),
        new("distortion", 4, "A tone in steps from 20 dB under reference to 10 dB over it.", [1_000, 400, 315], null),
        new(
            "mol",
            5,
            "A tone in steps of half a decibel from reference level to 12 dB over it, for the level of 3 % third harmonic.",
            [1_000, 400, 315],
            null,
            BriefVariant: 3
        ),
        new(
            "saturation",
            6,
            "10 kHz in steps of a decibel from 20 dB under reference to 6 dB over it, for the highest level the tape takes.",
            [10_000],
            null,
            BriefVariant: 1
        ),
        new("blank", 7, "Silence between two markers, for the noise of tape biased and played.", [], 60),
        new("erase", 8, "A steady tone at reference level, to be erased in its second half.", [1_000], 60),
        new("dropouts", 9, "A steady tone at reference level, for dropouts and level stability.", [1_000, 3_150], 120),
    ];

    /// <summary>Third-octave frequencies from 20 Hz to 20 kHz as they are named.</summary>
    public static IReadOnlyList<double> ThirdOctaves { get; } =
    [
        20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000,
        6300, 8000, 10000, 12500, 16000, 20000,
    ];

    /// <summary>Tones of the multitone that stand on both sides alike: skew is read from them.</summary>
    public static IReadOnlyList<double> CommonTones { get; } = [125, 1000, 3150, 10000];

    /// <summary>
    /// Tones of the multitone on the left alone: within 1 % of third-octave frequencies, beside them so that no product of the second or
    /// third order that a side's own tones make falls on a tone of either side, or where a product is looked for (<see cref="ClearHz"/>).
    /// </summary>
    public static IReadOnlyList<double> LeftTones { get; } = [40, 79.2, 201, 403.5, 803, 1591, 5017, 8056, 15895];

    /// <summary>The same on the right alone.</summary>
    public static IReadOnlyList<double> RightTones { get; } = [31.3, 63.4, 160.1, 315, 625, 1987, 3980, 6345, 12499];

    /// <summary>
    /// Where products of the common tones a = 1000 and b = 3150 Hz fall beside every tone: b − a (second order), 2b − a and b − 2a (third
    /// order).
    /// </summary>
    public static IReadOnlyList<ToneProduct> Products { get; } = [new(2150, -1, 1), new(1150, -2, 1), new(5300, -1, 2)];

    /// <summary>
    /// How far from a tone of the multitone products keep, Hz: more than what turns with a tone is looked for in
    /// (<see cref="Tones.ToneProbe"/>), its window counted in. A product farther off is told from the tone and adds no more than its power.
    /// </summary>
    /// <param name="frequencyHz">The tone's frequency, Hz.</param>
    public static double ClearHz(double frequencyHz) => 0.5 + (0.002 * Math.Min(frequencyHz, 1000));

    /// <summary>The kind of that name, or null.</summary>
    public static ProgramKind? Find(string name) => Kinds.FirstOrDefault(k => string.Equals(k.Name, name, StringComparison.Ordinal));

    /// <summary>The program that a marker names, or null where this list has none such.</summary>
    /// <param name="number">Number in the marker.</param>
    /// <param name="variant">Variant in the marker; that of an end marker counts as its beginning's.</param>
    /// <param name="steadySeconds">Length of a steady program where known, s.</param>
    public static SignalProgram? OfMarker(int number, int variant, double? steadySeconds = null)
    {
        var own = variant % SignalProgram.EndVariant;
        if (Kinds.FirstOrDefault(k => k.Number == number) is not { } kind)
        {
            return null;
        }

        return own == kind.BriefVariant ? Make(kind, brief: true)
            : own < Math.Max(1, kind.FrequenciesHz.Count)
                ? Make(kind, kind.FrequenciesHz.Count > 0 ? kind.FrequenciesHz[own] : null, steadySeconds)
            : null;
    }

    /// <summary>A program of that kind.</summary>
    /// <param name="kind">The kind.</param>
    /// <param name="frequencyHz">One of its frequencies; null: the first.</param>
    /// <param name="steadySeconds">Length of a steady one, s; null: the usual.</param>
    /// <param name="brief">Its brief form, of its first frequency: good enough where many conditions are gone through.</param>
    /// <exception cref="ArgumentException">The kind has no such frequency, no length to choose, or no brief form.</exception>
    public static SignalProgram Make(ProgramKind kind, double? frequencyHz = null, double? steadySeconds = null, bool brief = false)
    {
        ArgumentNullException.ThrowIfNull(kind);
        if (brief && (kind.BriefVariant is null || (frequencyHz is not null && !frequencyHz.Equals(kind.FrequenciesHz.FirstOrDefault()))))
        {
            throw new ArgumentException(
                $"The program {kind.Name} has no brief form{(kind.BriefVariant is null ? "" : $" of {frequencyHz} Hz")}.",
                nameof(brief)
            );
        }

        var variant = 0;
        if (frequencyHz is { } asked)
        {
            variant = kind.FrequenciesHz.ToList().IndexOf(asked);
            if (variant < 0)
            {
                throw new ArgumentException($"The program {kind.Name} has no tone of {asked} Hz to choose.", nameof(frequencyHz));
            }
        }

        if (steadySeconds is not null && kind.SteadySeconds is null)
        {
            throw new ArgumentException($"The program {kind.Name} has a length of its own.", nameof(steadySeconds));
        }

        var hz = kind.FrequenciesHz.Count > 0 ? kind.FrequenciesHz[variant] : 0;
        var seconds = steadySeconds ?? kind.SteadySeconds ?? 0;
        return new SignalProgram
        {
            Name = kind.Name,
            Number = kind.Number,
            Variant = brief ? kind.BriefVariant!.Value : variant,
            Purpose = kind.Purpose,
            Steps = kind.Name switch
            {
                "bias" => SignalProgram.InARow([(seconds, false, [new(hz, ResponseDb), new(1000, ResponseDb)])], 0),
                "response" => Response(),
                "multitone" => SignalProgram.InARow([(brief ? 15 : 30, true, Multitone())], 0),
                "distortion" => Ramp(hz, -20, 10, 2, 3),
                "mol" => brief ? Ramp(hz, -3, 12, 1, 1.2) : Ramp(hz, 0, 12, 0.5, 2),
                "saturation" => brief ? Ramp(hz, -14, 14, 2, 1.2) : Ramp(hz, -20, 6, 1, 2),
                "blank" => SignalProgram.InARow([(seconds, false, [])], 0),
                _ => SignalProgram.InARow([(seconds, false, [new(hz, 0)])], 0),
            },
        };
    }

    private static IReadOnlyList<ProgramStep> Response()
    {
        (double, bool, ProgramTone[]) reference = (4, true, [new(1000, ResponseDb)]);
        return SignalProgram.InARow(
            [reference, .. ThirdOctaves.Select(f => (f < 100 ? 3.0 : 2.0, false, new ProgramTone[] { new(f, ResponseDb) })), reference],
            0.2
        );
    }

    private static IReadOnlyList<ProgramStep> Ramp(double hz, double from, double to, double step, double seconds) =>
        SignalProgram.InARow(
            Enumerable
                .Range(0, (int)Math.Round((to - from) / step) + 1)
                .Select(i => (seconds, from + (i * step) == 0, new ProgramTone[] { new(hz, from + (i * step)) })),
            0.2
        );

    // Thirteen tones a side, each so far down that together they lie 19 dB under reference level.
    private static ProgramTone[] Multitone() =>
    [
        .. CommonTones.Select(f => new ProgramTone(f, ResponseDb - 10)),
        .. LeftTones.Select(f => new ProgramTone(f, ResponseDb - 10, Sides.Left)),
        .. RightTones.Select(f => new ProgramTone(f, ResponseDb - 10, Sides.Right)),
    ];
}
