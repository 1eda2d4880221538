using Spoolwright.Signal.Markers;

namespace Spoolwright.Signal.Tests.Markers;

/// <summary>The code, through every word there is. Law: counting.</summary>
public sealed class MarkerCodeTests
{
    private static readonly (bool[] Sweeps, MarkerWord Word)[] Everything =
    [
        .. from program in Enumerable.Range(0, 32)
           from variant in Enumerable.Range(0, 8)
           from right in new[] { false, true }
           from backwards in new[] { false, true }
           let sent = MarkerCode.Encode(program, variant)
           let turned = sent.Select(up => up ^ right ^ backwards)
           select ((backwards ? turned.Reverse() : turned).ToArray(), new MarkerWord(program, variant, right, backwards)),
    ];

    [Fact]
    public void Decode_EveryWordSideAndDirection_ReadsBack()
    {
        Assert.All(Everything, e => Assert.Equal(e.Word, MarkerCode.Decode([.. e.Sweeps.Select(up => (bool?)up)])));
    }

    [Fact]
    public void Decode_OneSweepWrong_NeverReadsAnotherWord()
    {
        var seen = new HashSet<string>(Everything.Select(e => Text(e.Sweeps)));
        Assert.Equal(Everything.Length, seen.Count);
        foreach (var (sweeps, _) in Everything)
        {
            for (var i = 0; i < sweeps.Length; i++)
            {
                var wrong = (bool[])sweeps.Clone();
                wrong[i] = !wrong[i];
                Assert.DoesNotContain(Text(wrong), seen);
            }
        }
    }

    [Fact]
    public void Decode_SixSweepsMissingInARow_StillReadsOrRefuses()
    {
        var read = 0;
        foreach (var (sweeps, word) in Everything.Where((_, i) => i % 7 == 0))
        {
            for (var gap = 0; gap + 6 <= sweeps.Length; gap++)
            {
                var heard = sweeps.Select((up, i) => i >= gap && i < gap + 6 ? (bool?)null : up).ToArray();
                var got = MarkerCode.Decode(heard);
                Assert.True(got is null || got == word);
                read += got is null ? 0 : 1;
            }
        }

        Assert.True(read > 1000, $"{read}");
    }

    private static string Text(bool[] sweeps) => string.Concat(sweeps.Select(up => up ? '1' : '0'));
}
