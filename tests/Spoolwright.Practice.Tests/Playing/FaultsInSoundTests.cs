using System.Reflection;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests.Playing;

/// <summary>Every named fault is heard where it should be, and nowhere else.</summary>
public class FaultsInSoundTests
{
    private static readonly PlayOptions Pass = new()
    {
        SpeedCmPerS = 19.05,
        DurationSeconds = 4,
        SampleRateHz = 32000,
        StartSeconds = 0.5,
        LeadInSeconds = 0.1,
    };

    // A tape with something of everything: bass, treble, a voice.
    private static readonly PracticeTape Tape = new()
    {
        Name = "short",
        SpeedCmPerS = 19.05,
        Curve = Decks.Fast,
        Tones =
        [
            new PracticeTone(1000, 0, 1, GapSeconds: 0.6), new PracticeTone(63, -10, 1, GapSeconds: 0.2),
            new PracticeTone(12500, -10, 1, GapSeconds: 1, Announced: true),
        ],
    };

    private static readonly PracticeDeck Deck = AutoReverseDeck.AsLeft;

    private static readonly Lazy<(float[] Left, float[] Right)> Healthy = new(() => Listening.Record(Deck.Play(Tape, Pass)));

    private static readonly Dictionary<string, Func<PracticeChannel, PracticeChannel>> ChannelFaults = new(StringComparer.Ordinal)
    {
        ["Track"] = c => c with { Track = c.Track.Moved(0.1) },
        ["SpacingUm"] = c => c with { SpacingUm = 1 },
        ["SpacingWanderUmRms"] = c => c with { SpacingUm = 0.5, SpacingWanderUmRms = 0.2 },
        ["WearGapUm"] = c => c with { WearGapUm = 3 },
        ["WearOutputDb"] = c => c with { WearOutputDb = 1 },
        ["LevelTrimDb"] = c => c with { LevelTrimDb = 1 },
        ["TrebleTrimPercent"] = c => c with { TrebleTrimPercent = 20 },
        ["BassTrimPercent"] = c => c with { BassTrimPercent = 20 },
        ["ResonanceDb"] = c => c with { ResonanceDb = 4 },
        ["ResonanceHz"] = c => c with { ResonanceDb = 4, ResonanceHz = 12000 },
        ["NoiseDb"] = c => c with { NoiseDb = -50 },
        ["HumDb"] = c => c with { HumDb = [-40] },
        ["CrosstalkDb"] = c => c with { CrosstalkDb = -20 },
    };

    private static readonly Dictionary<string, Func<PracticeHead, PracticeHead>> HeadFaults = new(StringComparer.Ordinal)
    {
        ["Left"] = h => h.With(PracticeSide.Left, c => c with { LevelTrimDb = 1 }),
        ["Right"] = h => h.With(PracticeSide.Right, c => c with { LevelTrimDb = 1 }),
        ["GapUm"] = h => h with { GapUm = 4 },
        ["GapFactor"] = h => h with { GapFactor = 1.3 },
        ["AzimuthArcmin"] = h => h with { AzimuthArcmin = 3 },
        ["GapStaggerUm"] = h => h with { GapStaggerUm = 1 },
        ["HeightErrorMm"] = h => h with { HeightErrorMm = 0.2 },
        ["Bump"] = h => h with { Bump = new HeadBump(3, 3, HeadBumpShape.Double) },
        ["FringingFactor"] = h => h with { FringingFactor = 0.5 },
    };

    private static readonly Dictionary<string, Func<PracticeDeck, PracticeDeck>> DeckFaults = new(StringComparer.Ordinal)
    {
        ["Seed"] = d => d with { Seed = 99 },
        ["Speeds"] = d => d with { Speeds = [new PracticeSpeed(19.05, Decks.Fast, 1)] },
        ["Forward"] = d => d with { Forward = d.Forward with { AzimuthArcmin = 5 } },
        ["ReferenceNWbPerM"] = d => d with { ReferenceNWbPerM = 320 },
        ["MainsHz"] = d => d with { MainsHz = 60 },
        ["Transport"] = d => d with { Transport = new() },
        ["Transport.Parts"] = d => d with { Transport = d.Transport with { Parts = AutoReverseDeck.AsFound.Transport.Parts } },
        ["Transport.Noises"] = d => d with { Transport = d.Transport with { Noises = [] } },
        ["Transport.DriftPercentPerMinute"] = d => d with { Transport = d.Transport with { DriftPercentPerMinute = 1 } },
        ["Transport.WeaveArcminRms"] = d => d with { Transport = d.Transport with { WeaveArcminRms = 1 } },
        ["Transport.WeaveToHz"] = d => d with { Transport = d.Transport with { WeaveToHz = 10 } },
    };

    private static readonly Dictionary<string, Func<PracticeTape, PracticeTape>> TapeFaults = new(StringComparer.Ordinal)
    {
        ["SpeedCmPerS"] = t => t with { SpeedCmPerS = 9.525 },
        ["Tones"] = t => t with { Tones = [.. t.Tones.Select(x => x with { ErrorDb = 1 })] },
        ["Curve"] = t => t with { Curve = new(70, null) },
        ["FluxivityNWbPerM"] = t => t with { FluxivityNWbPerM = 320 },
        ["Strips"] = t => t with { Strips = [PracticeHead.QuarterTrackStrip(1)] },
        ["WidthMm"] = t => t with { WidthMm = 4 },
        ["AzimuthArcmin"] = t => t with { AzimuthArcmin = 2 },
        ["SpeedErrorPercent"] = t => t with { SpeedErrorPercent = 0.5 },
        ["OwnFlutter"] = t => t with { OwnFlutter = [new SpeedNoise("recorder", 0.5, 20, 0.05)] },
        ["HissDb"] = t => t with { HissDb = -40 },
        ["LevelWanderDbRms"] = t => t with { LevelWanderDbRms = 0.5 },
        ["Dropouts"] = t => t with { Dropouts = new TapeDropouts(300) },
        ["ThirdHarmonicPercent"] = t => t with { ThirdHarmonicPercent = 3 },
        ["Reel"] = t => t with { Reel = new PracticeReel { HubRadiusMm = 50 } },
        ["LeaderM"] = t => t with { LeaderM = 200 },
        ["Seed"] = t => t with { Seed = 77 },
    };

    private static readonly Dictionary<string, Func<PlayOptions, PlayOptions>> PassFaults = new(StringComparer.Ordinal)
    {
        ["Direction"] = o => o with { Direction = TapeDirection.Reverse },
        ["SpeedCmPerS"] = o => o with { SpeedCmPerS = 9.525 },
        ["Backward"] = o => o with { Backward = true },
        ["StartSeconds"] = o => o with { StartSeconds = 0.2 },
        ["DurationSeconds"] = o => o with { DurationSeconds = 3 },
        ["LeadInSeconds"] = o => o with { LeadInSeconds = 0.3 },
        ["SampleRateHz"] = o => o with { SampleRateHz = 44100 },
        ["Seed"] = o => o with { Seed = 3 },
        ["ReferenceDbfs"] = o => o with { ReferenceDbfs = -20 },
        ["InterfaceNoiseDbfs"] = o => o with { InterfaceNoiseDbfs = -60 },
        ["InterfaceClockPpm"] = o => o with { InterfaceClockPpm = 100 },
        ["InterfaceRightGainDb"] = o => o with { InterfaceRightGainDb = 1 },
    };

    public static TheoryData<string> ChannelNames => [.. ChannelFaults.Keys];

    public static TheoryData<string> OtherNames =>
        [
            .. HeadFaults.Keys.Select(k => "Head." + k),
            .. DeckFaults.Keys.Select(k => "Deck." + k),
            .. TapeFaults.Keys.Select(k => "Tape." + k),
            .. PassFaults.Keys.Select(k => "Pass." + k),
        ];

    [Theory]
    [MemberData(nameof(ChannelNames))]
    public void ChannelFault_OfOneSide_IsHeardThereAndOnTheOtherSideNotAtAll(string name)
    {
        var quiet = Deck with
        {
            Forward = Deck.Forward with
            {
                Left = Deck.Forward.Left with { CrosstalkDb = -300 },
                Right = Deck.Forward.Right with { CrosstalkDb = -300 },
            },
        };
        var healthy = Listening.Record(quiet.Play(Tape, Pass));
        var ill = Listening.Record((quiet with { Forward = quiet.Forward.With(PracticeSide.Left, ChannelFaults[name]) }).Play(Tape, Pass));
        Assert.True(Difference(healthy.Left, ill.Left) > 1e-4, $"left differs by {Difference(healthy.Left, ill.Left)}");

        // A moved track tilts the other channel's place against it; everything else stays to the last bit.
        if (name != "Track")
            Assert.Equal(healthy.Right, ill.Right);
    }

    [Theory]
    [MemberData(nameof(OtherNames))]
    public void Fault_OfHeadDeckTapeOrPass_ChangesTheSound(string name)
    {
        var key = name[(name.IndexOf('.', StringComparison.Ordinal) + 1)..];
        using var session = name.Split('.')[0] switch
        {
            "Head" => (Deck with { Forward = HeadFaults[key](Deck.Forward) }).Play(Tape, Pass),
            "Deck" => DeckFaults[key](Deck).Play(Tape, Pass),
            "Tape" => Deck.Play(TapeFaults[key](Tape), Pass),
            _ => Deck.Play(Tape, PassFaults[key](Pass)),
        };
        var healthy = Healthy.Value;
        var ill = Listening.Record(session.Sound);
        Assert.True(Difference(healthy.Left, ill.Left) + Difference(healthy.Right, ill.Right) > 1e-6);
    }

    [Fact]
    public void Tables_OfFaults_NameEveryParameterThereIs()
    {
        static IEnumerable<string> Of(Type type) =>
            type.GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(p => p.CanWrite).Select(p => p.Name);
        Assert.Empty(Of(typeof(PracticeChannel)).Except(ChannelFaults.Keys));
        Assert.Empty(Of(typeof(PracticeHead)).Except(HeadFaults.Keys));

        // The other direction's head has its own test, and so has the record side, silent while a test tape plays; names make no sound.
        Assert.Empty(Of(typeof(PracticeDeck)).Except(DeckFaults.Keys).Except(["Name", "Reverse", "Recorder"]));
        Assert.Empty(Of(typeof(PracticeTransport)).Select(n => "Transport." + n).Except(DeckFaults.Keys));
        Assert.Empty(Of(typeof(PracticeTape)).Except(TapeFaults.Keys).Except(["Name", "CurveName"]));
        Assert.Empty(Of(typeof(PlayOptions)).Except(PassFaults.Keys));
    }

    [Fact]
    public void ReverseHead_WithEveryFault_LeavesForwardAsItIs()
    {
        var ill = Deck with
        {
            Reverse = Deck.Reverse with { AzimuthArcmin = 20, GapUm = 9, Left = Deck.Reverse.Left with { LevelTrimDb = -9 } },
        };
        Assert.Equal(Listening.Record(Deck.Play(Tape, Pass)).Left, Listening.Record(ill.Play(Tape, Pass)).Left);
        var reverse = Pass with { Direction = TapeDirection.Reverse };
        Assert.NotEqual(Listening.Record(Deck.Play(Tape, reverse)).Left, Listening.Record(ill.Play(Tape, reverse)).Left);
    }

    [Theory]
    [InlineData("SpacingUm", -1.0)]
    [InlineData("LevelTrimDb", double.NaN)]
    [InlineData("TrebleTrimPercent", -100.0)]
    public void Fault_OutsideItsBounds_IsRefusedByName(string name, double value)
    {
        PracticeChannel Change(PracticeChannel c) =>
            name switch
            {
                "SpacingUm" => c with { SpacingUm = value },
                "LevelTrimDb" => c with { LevelTrimDb = value },
                _ => c with { TrebleTrimPercent = value },
            };
        var error = Assert.Throws<ArgumentOutOfRangeException>(() =>
            (Deck with { Forward = Deck.Forward.With(PracticeSide.Right, Change) }).Play(Tape, Pass)
        );
        Assert.Equal(name, error.ParamName);
        Assert.Equal(value, error.ActualValue);
    }

    [Fact]
    public void Speed_TheDeckDoesNotHave_IsRefused() =>
        Assert.Contains(
            "4.76",
            Assert.Throws<ArgumentException>(() => Deck.Play(Tape, Pass with { SpeedCmPerS = 4.76 })).Message,
            StringComparison.Ordinal
        );

    private static double Difference(float[] a, float[] b)
    {
        if (a.Length != b.Length)
            return 1;
        var worst = 0.0;
        for (var i = 0; i < a.Length; i++)
            worst = Math.Max(worst, Math.Abs((double)a[i] - b[i]));
        return worst;
    }
}
