using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Signal.Tests.Programs;

/// <summary>Programs as sound. Law: levels by their own definition, computed.</summary>
public sealed class ProgramTests
{
    public static TheoryData<string> Names => [.. ProgramList.Kinds.Select(k => k.Name)];

    [Theory]
    [MemberData(nameof(Names))]
    public void Program_AsSound_NamesItselfAtBothEnds(string name)
    {
        var kind = ProgramList.Find(name)!;
        var program = ProgramList.Make(kind, null, kind.SteadySeconds is null ? null : 5);
        var (left, right) = Render(program, -18);
        var search = new MarkerSearch(48000, 2);
        search.Add(left, right);
        var markers = search.Finish();
        Assert.Equal(4, markers.Count);
        Assert.All(markers, m => Assert.Equal((program.Number, m.CaptureChannel == 1), (m.Word.Program, m.Word.IsRight)));
        Assert.Equal(SignalProgram.PauseSeconds, markers[0].StartSeconds, 2e-5);
        Assert.Equal(SignalProgram.PauseSeconds + program.EndMarkerSeconds, markers[^1].StartSeconds, 2e-5);
        Assert.Equal(program.Steps.Count, ProgramList.OfMarker(markers[0].Word.Program, markers[0].Word.Variant)!.Steps.Count);
    }

    [Theory]
    [InlineData("multitone")]
    [InlineData("mol")]
    [InlineData("saturation")]
    public void BriefForm_AsSound_IsShorterAndNamesItself(string name)
    {
        var kind = ProgramList.Find(name)!;
        var brief = ProgramList.Make(kind, brief: true);
        Assert.True(brief.Seconds < 0.7 * ProgramList.Make(kind).Seconds);
        var (left, right) = Render(brief, -18);
        var search = new MarkerSearch(48000, 2);
        search.Add(left, right);
        var word = search.Finish()[0].Word;
        var told = ProgramList.OfMarker(word.Program, word.Variant)!;
        Assert.Equal(
            brief.Steps.Select(s => (s.StartSeconds, s.Seconds, s.Tones.Count)),
            told.Steps.Select(s => (s.StartSeconds, s.Seconds, s.Tones.Count))
        );
    }

    [Fact]
    public void BriefForm_WhereThereIsNone_IsRefused() =>
        Assert.Equal(
            "brief",
            Assert.Throws<ArgumentException>(() => ProgramList.Make(ProgramList.Find("response")!, brief: true)).ParamName
        );

    [Fact]
    public void Step_AtItsMiddle_HasItsLevelUnderReference()
    {
        var program = ProgramList.Make(ProgramList.Find("distortion")!, 400);
        var (left, _) = Render(program, -14);
        foreach (var step in program.Steps)
        {
            var from = (int)((SignalProgram.PauseSeconds + step.StartSeconds + 1) * 48000);
            var rms = Math.Sqrt(left.AsSpan(from, 48000).ToArray().Average(x => (double)x * x));
            Assert.Equal(-14 + step.Tones[0].LevelDb, 20 * Math.Log10(rms * Math.Sqrt(2)), 0.001);
        }
    }

    [Fact]
    public void Sides_LeftAlone_LeavesRightSilent()
    {
        using var sound = new ProgramSound(ProgramList.Make(ProgramList.Find("erase")!, null, 5), 44100, -18, Sides.Left);
        var (left, right) = (new float[500_000], new float[500_000]);
        var n = sound.Read(left, right);
        Assert.True(left.AsSpan(0, n).ToArray().Max() > 0.1);
        Assert.All(right.AsSpan(0, n).ToArray().Distinct(), x => Assert.Equal(0, x));
    }

    [Fact]
    public void Multitone_TonesAndProducts_StandApart()
    {
        double[] all =
        [
            .. ProgramList.CommonTones,
            .. ProgramList.LeftTones,
            .. ProgramList.RightTones,
            .. ProgramList.Products.Select(p => p.Hz),
        ];
        var sorted = all.Order().ToArray();
        Assert.All(sorted.Zip(sorted[1..]), pair => Assert.True(pair.Second / pair.First > 1.05, $"{pair}"));
    }

    // By counting: every ±a±b and ±a±b±c of the thirteen tones that one side's electronics and tape see together.
    [Fact]
    public void Multitone_ProductsOfSecondAndThirdOrder_KeepClearOfEveryTone()
    {
        double[] places =
        [
            .. ProgramList.CommonTones,
            .. ProgramList.LeftTones,
            .. ProgramList.RightTones,
            .. ProgramList.Products.Select(p => p.Hz),
        ];
        var looked = 0;
        foreach (var side in new[] { ProgramList.LeftTones, ProgramList.RightTones })
        {
            double[] tones = [.. ProgramList.CommonTones, .. side];
            double[] signed = [.. tones, .. tones.Select(f => -f)];
            var terms = Enumerable.Range(0, signed.Length);
            var products = terms.SelectMany(i => terms.Skip(i).SelectMany(j => terms.Skip(j).Select(k => new[] { i, j, k }).Append([i, j])))
                .Where(p => !p.Any(i => p.Contains((i + tones.Length) % signed.Length))); // a tone less itself is none
            foreach (var product in products)
            {
                var hz = product.Sum(i => signed[i]);
                looked++;
                foreach (var place in places.Where(place => Math.Abs(hz - place) < ProgramList.ClearHz(place)))
                {
                    // What a place of its own was made for: −1·a + 1·b and so on.
                    Assert.Contains(
                        ProgramList.Products,
                        p =>
                            p.Hz.Equals(place)
                            && product.Count(i => signed[i].Equals(Math.Sign(p.TimesA) * 1000.0)) == Math.Abs(p.TimesA)
                            && product.Count(i => signed[i].Equals(Math.Sign(p.TimesB) * 3150.0)) == Math.Abs(p.TimesB)
                            && product.Length == p.Order
                    );
                }
            }
        }

        Assert.Equal(2 * 2 * 1638, looked); // both signs of 1638 a side
        Assert.All(
            ProgramList.LeftTones.Concat(ProgramList.RightTones),
            f => Assert.True(ProgramList.ThirdOctaves.Min(t => Math.Abs((f / t) - 1)) <= 0.0101, $"{f}")
        );
    }

    [Fact]
    public void Rate_TooLowForATone_IsRefused() =>
        Assert.Throws<ArgumentException>(() => new ProgramSound(ProgramList.Make(ProgramList.Find("response")!), 32000, -18));

    private static (float[] Left, float[] Right) Render(SignalProgram program, double referenceDb)
    {
        using var sound = new ProgramSound(program, 48000, referenceDb);
        var n = (int)sound.Frames!.Value;
        var (left, right) = (new float[n], new float[n]);
        Assert.Equal(n, sound.Read(left, right));
        return (left, right);
    }
}
