using Spoolwright.Bench;
using Spoolwright.Bench.Live;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Tape;

namespace Spoolwright.App.Web;

/// <summary>
/// The playback head's own skew, which the record head's is told from: as a test tape showed it in this session, else as the book has it
/// and nothing was turned since. Not safe for use from several threads at once.
/// </summary>
internal sealed class PlaybackSkews(BookShelf shelf)
{
    // A low tone alone knows the skew to a few microseconds only.
    private const double LowestTrebleHz = 5900;
    private readonly Dictionary<(string Deck, Direction Direction, double Speed), PlaybackSkew> _heard = [];

    /// <summary>
    /// Looks at a picture. Only while a test tape is named as threaded is it sure that no recording of the deck's own plays: nothing can be
    /// sent then.
    /// </summary>
    /// <param name="picture">What stands now.</param>
    /// <param name="context">What is known beside it.</param>
    /// <param name="deck">The job's number, or which practice deck.</param>
    public void See(LivePicture picture, LiveContext context, string deck)
    {
        if (
            context is not { Sent: null, TestTape: not null, Condition: { } condition }
            || picture.Skew is not { } skew
            || skew.Cycle == CycleChoice.Nearest
        )
            return;
        if (picture.Tones.Any(t => t.AgeSeconds == 0 && t.NominalHz >= LowestTrebleHz))
            _heard[(deck, condition.Direction, condition.SpeedCmPerS)] = new PlaybackSkew(skew.Microseconds, skew.Uncertainty);
    }

    /// <summary>The skew for a deck and condition; null: not known.</summary>
    /// <param name="deck">As told to <see cref="See"/>.</param>
    /// <param name="job">The job whose readings may tell; null: none, as for a practice deck, whose readings may be another's.</param>
    /// <param name="condition">Direction and speed; null: not known.</param>
    public PlaybackSkew? Of(string deck, Guid? job, Condition? condition)
    {
        if (condition is null)
            return null;
        if (_heard.TryGetValue((deck, condition.Direction, condition.SpeedCmPerS), out var heard))
            return heard;
        if (job is not { } id)
            return null;
        var measured = shelf
            .Book.ReadJob(id)
            .Measurements.Where(m =>
                m.SupersededBy is null
                && m.Entry.Measurement == "azimuth"
                && m.Entry.Condition.Direction == condition.Direction
                && TapeSpeed.Same(m.Entry.Condition.SpeedCmPerS, condition.SpeedCmPerS)
            )
            .MaxBy(m => m.Entry.MeasuredAt);
        return measured is null || Doubt.Of("azimuth", condition, measured.Entry.MeasuredAt, shelf.Adjusted.Of(id)) is not null
            || measured.Result.Readings.FirstOrDefault(r => r.Quantity == Quantity.TimeSkew.Id && r.FrequencyHz is null) is not { } skew
                ? null
                : new PlaybackSkew(skew.Value, skew.Uncertainty);
    }
}
