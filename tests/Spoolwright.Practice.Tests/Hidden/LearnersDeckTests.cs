using Spoolwright.Practice.Controls;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;

namespace Spoolwright.Practice.Tests.Hidden;

public class LearnersDeckTests
{
    [Fact]
    public void Control_PastItsStop_StaysThere()
    {
        var board = new ControlBoard(LearnersDeck.Healthy(3));
        var result = board.Turn("forward.left.play-level", 5);
        Assert.True(result.AtStop);
        Assert.Equal(0.375, result.Control.ShaftTurns, 1e-12);
        Assert.InRange(result.MovedTurns, 0.2, 0.5);
        Assert.False(board.Turn("forward.left.play-level", -0.3).AtStop);
        Assert.Throws<ArgumentException>(() => board.Turn("forward.left.nothing", 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => board.Turn("forward.left.play-level", double.NaN));
    }

    [Fact]
    public void Control_TurnedBack_LosesItsBacklash()
    {
        var board = new ControlBoard(LearnersDeck.Healthy(3));
        var lash = board.Control("forward.record-azimuth").BacklashTurns;
        double Tilt() => board.Deck.Recorder!.Forward.AzimuthArcmin;
        board.Turn("forward.record-azimuth", 0.5);
        var here = Tilt();
        board.Turn("forward.record-azimuth", -0.9 * lash);
        Assert.Equal(here, Tilt(), 1e-9);
        board.Turn("forward.record-azimuth", -0.1);
        Assert.True(Tilt() < here - 1);
    }

    [Fact]
    public void Controls_EachTurned_ChangeTheDeckAndOnlyTheirPlace()
    {
        var names = new ControlBoard(LearnersDeck.Healthy(3)).Controls.Select(c => c.Name).ToArray();
        Assert.Equal(1 + (2 * (2 + 4 + (2 * 2 * 3))), names.Length);
        foreach (var name in names)
        {
            var board = new ControlBoard(LearnersDeck.Healthy(3));
            var before = board.Deck;
            board.Turn(name, 0.2);
            var (forward, reverse) = (
                Told(before, TapeDirection.Forward) != Told(board.Deck, TapeDirection.Forward),
                Told(before, TapeDirection.Reverse) != Told(board.Deck, TapeDirection.Reverse)
            );
            Assert.Equal(name.StartsWith("forward", StringComparison.Ordinal), forward);
            Assert.Equal(name.StartsWith("reverse", StringComparison.Ordinal), reverse);
            Assert.Equal(name == "speed", !before.Speeds.SequenceEqual(board.Deck.Speeds));
        }
    }

    [Fact]
    public void Speed_TurnedClockwise_RunsFasterAtEverySpeedAlike()
    {
        var board = new ControlBoard(LearnersDeck.Healthy(3));
        var before = board.Deck.Speeds;
        board.Turn("speed", 0.2);
        var changes = before.Zip(board.Deck.Speeds, (a, b) => b.ErrorPercent - a.ErrorPercent).ToArray();
        Assert.All(changes, c => Assert.InRange(c, 0.2 * 4 * 0.8, 0.2 * 4 * 1.2));
        Assert.All(changes, c => Assert.Equal(changes[0], c, 1e-9));
    }

    [Fact]
    public void Bias_OfOneChannel_PullsTheOthersALittle()
    {
        var board = new ControlBoard(LearnersDeck.Healthy(3));
        RecordTrims Trims(PracticeSide side) => board.Deck.Recorder!.Forward.Channel(side).In("normal");
        var (left, right) = (Trims(PracticeSide.Left).BiasDb, Trims(PracticeSide.Right).BiasDb);
        board.Turn("forward.left.normal.bias", 0.1);
        var (more, less) = (Trims(PracticeSide.Left).BiasDb - left, Trims(PracticeSide.Right).BiasDb - right);
        Assert.InRange(more, 1.2, 1.8);
        Assert.Equal(-0.06 * more, less, 1e-9);
    }

    [Fact]
    public void Faults_OfEveryKind_ChangeTheDeck()
    {
        var deck = LearnersDeck.Healthy(5);
        foreach (var kind in FaultKind.All)
        {
            var place = new FaultPlace(
                kind.HasDirection ? TapeDirection.Reverse : null,
                kind.HasSide ? PracticeSide.Right : null,
                kind.HasSetting ? "high" : null
            );
            var changed = new HiddenFault(kind, place, 1.5).Into(deck);
            Assert.NotEqual(deck, changed);
            changed.MustPlay();
        }
    }

    [Fact]
    public void Draw_OfTheSameSeed_IsTheSame_AndOfManySeedsReachesEveryKind()
    {
        string[] settings = ["normal", "high"];
        Assert.Equal(HiddenFault.Draw(7, 3, settings), HiddenFault.Draw(7, 3, settings));
        var kinds = Enumerable.Range(0, 300).SelectMany(s => HiddenFault.Draw(s, 2, settings)).Select(f => f.Kind.Name).Distinct();
        Assert.Equal(FaultKind.All.Count, kinds.Count());
        Assert.All(Enumerable.Range(0, 50), s => Assert.Equal(5, HiddenFault.Draw(s, 5, settings).Select(f => f.Kind).Distinct().Count()));
    }

    [Fact]
    public void File_WrittenAndRead_GivesTheSameDeck()
    {
        var deck = LearnersDeck.Draw(11, 4);
        deck.Board.Turn("forward.left.normal.bias", 0.11);
        deck.Board.Turn("forward.left.normal.bias", -0.02);
        deck.Passes = 3;
        deck.Own = [new OwnRecording("own.wav", TapeDirection.Reverse, 19.05, "Hembury LP 35", new RecordedWith(1, 2, -3))];
        var text = LearnersDeckFile.Write(deck);
        var again = LearnersDeckFile.Read(text);
        Assert.Equal(text, LearnersDeckFile.Write(again));
        Assert.Equal(deck.HiddenFaults, again.HiddenFaults);
        Assert.Equal(Told(deck.Board.Deck, TapeDirection.Forward), Told(again.Board.Deck, TapeDirection.Forward));

        // Whoever opens the file is warned before the answers.
        Assert.True(
            text.IndexOf("ANSWERS", StringComparison.Ordinal) < deck.HiddenFaults.Min(f => text.IndexOf(f.Name, StringComparison.Ordinal))
        );
        foreach (
            var broken in new[]
            {
                "",
                "[]",
                "{}",
                text.Replace("0.", "x.", StringComparison.Ordinal),
                text.Replace("shaftTurns", "shaft", StringComparison.Ordinal),
            }
        )
            Assert.Throws<FormatException>(() => LearnersDeckFile.Read(broken));
    }

    [Theory]
    [InlineData(100, 0, "bias.forward.left.normal", "speed")]
    [InlineData(100, 0, "speed", "bias.normal.left.forward")]
    [InlineData(75, 0, "speed", "bias")]
    [InlineData(75, 0, "speed", "bias.reverse.left.normal")]
    [InlineData(50, 1, "speed")]
    [InlineData(25, 1, "speed", "hum.forward.left")]
    [InlineData(0, 2, "hum.forward.left")]
    [InlineData(0, 2)]
    public void Diagnosis_IsScoredByKindAndPlace(int score, int missed, params string[] words)
    {
        HiddenFault[] faults = [
            new(FaultKind.Find("speed")!, new FaultPlace(), 1),
            new(FaultKind.Find("bias")!, new FaultPlace(TapeDirection.Forward, PracticeSide.Left, "normal"), -1)];
        var diagnosis = Diagnosis.Of(faults, words);
        Assert.Equal(score, diagnosis.Score);
        Assert.Equal(missed, diagnosis.Missed);
        Assert.Throws<ArgumentException>(() => Diagnosis.Of(faults, ["gremlins"]));
    }

    [Fact]
    public void Fault_OfATrimmer_IsMendedByTurningIt()
    {
        var fault = new HiddenFault(
            FaultKind.Find("record-level")!,
            new FaultPlace(TapeDirection.Forward, PracticeSide.Left, "normal"),
            1.4
        );
        var deck = new LearnersDeck(21, [fault]);
        double Error() => deck.Board.Deck.Recorder!.Forward.Left.In("normal").LevelDb;
        var start = Error();
        Assert.InRange(start, 2, 3);
        deck.Board.Turn("forward.left.normal.record-level", -0.05);
        var perTurn = (start - Error()) / 0.05;
        deck.Board.Turn("forward.left.normal.record-level", -Error() / perTurn);
        Assert.InRange(Error(), -0.15, 0.15);
    }

    // What one direction's trimmers and heads come to, as text.
    private static string Told(PracticeDeck deck, TapeDirection direction)
    {
        var (play, record) = (deck.Head(direction), deck.Recorder!.Head(direction));
        string Channel(RecordChannel c) => string.Join(' ', deck.Recorder!.Settings.Select(s => c.In(s.Name)));
        return $"{play.AzimuthArcmin} {play.Left.LevelTrimDb} {play.Right.LevelTrimDb} {play.Left.TrebleTrimPercent} {play.Right.TrebleTrimPercent} {record.AzimuthArcmin} {Channel(record.Left)} {Channel(record.Right)}";
    }
}

internal static class DeckChecks
{
    /// <summary>Throws where a fault lies outside what a deck may be.</summary>
    public static void MustPlay(this PracticeDeck deck)
    {
        using var session = deck.Play(RestorersTapes.Speed(19.05), Decks.Options());
    }
}
