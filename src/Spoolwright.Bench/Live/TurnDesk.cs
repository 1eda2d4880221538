using Spoolwright.Bench.Controls;

namespace Spoolwright.Bench.Live;

/// <summary>A control as it lies on the desk.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Channel">The channel it acts on; both where it is one for the pair.</param>
/// <param name="Now">The control as it stands now.</param>
public sealed record DeskControl(string Name, Channel Channel, Func<Control> Now);

/// <summary>One control with what is read for it.</summary>
/// <param name="Control">Which.</param>
/// <param name="Now">What stands now; null: nothing.</param>
/// <param name="Advice">What to turn next; null: no reading with a target has stood yet.</param>
/// <param name="IsPending">Whether it was turned and its reading has not stood again.</param>
/// <param name="Moves">Turns read so far.</param>
public sealed record DeskLine(DeskControl Control, LiveReading? Now, TurnAdvice? Advice, bool IsPending, int Moves);

/// <summary>
/// The controls of one adjustment and what was turned on them: takes the reading from which everything starts once it stands, the reading
/// after each turn once it stands again, and asks the adviser for each control.
/// </summary>
public sealed class TurnDesk
{
    // After so long the mean is taken whether or not the value stands still: some decks never do.
    private const double LongestSeconds = 4;
    private const double WindowSeconds = 0.6;
    private const double StillShare = 0.03;
    private readonly Dictionary<string, Place> _places = new(StringComparer.Ordinal);

    /// <param name="adjustment">What is set.</param>
    /// <param name="controls">Its controls.</param>
    public TurnDesk(LiveAdjustment adjustment, IReadOnlyList<DeskControl> controls)
    {
        ArgumentNullException.ThrowIfNull(adjustment);
        ArgumentNullException.ThrowIfNull(controls);
        (Adjustment, Controls) = (adjustment, controls);
        foreach (var control in controls)
            _places.Add(control.Name, new Place(control));
    }

    /// <summary>What is set here.</summary>
    public LiveAdjustment Adjustment { get; }

    /// <summary>Its controls.</summary>
    public IReadOnlyList<DeskControl> Controls { get; }

    /// <summary>Whether anything was turned here since the desk was laid out or begun anew.</summary>
    public bool WasTurned { get; private set; }

    /// <summary>Each control with what stands for it.</summary>
    public IReadOnlyList<DeskLine> Lines => [.. Controls.Select(c => _places[c.Name].Line())];

    /// <summary>Notes a turn. A control of another adjustment is passed over.</summary>
    /// <param name="control">Its name.</param>
    /// <param name="amount">How far, in its unit; clockwise (up) above 0.</param>
    /// <param name="seconds">When, in seconds of sound heard.</param>
    /// <returns>Whether it lies on this desk.</returns>
    public bool Turned(string control, double amount, double seconds)
    {
        if (!_places.TryGetValue(control, out var place))
            return false;
        WasTurned = true;
        place.Journal?.Turned(amount);
        place.History.Clear();
        place.TurnedAt = seconds;
        return true;
    }

    /// <summary>Everything starts from the next readings that stand.</summary>
    public void Begin()
    {
        WasTurned = false;
        foreach (var place in _places.Values)
            (place.Journal, place.TurnedAt) = (null, double.NegativeInfinity);
    }

    /// <summary>Looks at a picture: takes what stands.</summary>
    public void See(LivePicture picture, LiveContext context)
    {
        ArgumentNullException.ThrowIfNull(picture);
        var seconds = picture.Input.Seconds;
        foreach (var place in _places.Values)
        {
            place.Now = Adjustment.Reading(picture, context, place.Control.Channel);
            if (place.Now is not { } now)
            {
                place.History.Clear();
                continue;
            }

            place.History.Enqueue((seconds, now.Reading.Value));
            while (place.History.Count > 0 && seconds - place.History.Peek().Seconds > WindowSeconds)
                place.History.Dequeue();
            if (Stands(place, now, seconds))
                Take(place, Averaged(place, now));
        }
    }

    private bool Stands(Place place, LiveReading now, double seconds)
    {
        var since = seconds - place.TurnedAt;
        if (
            since < Adjustment.SettleSeconds + WindowSeconds
            || place.History.Count < 3
            || seconds - place.History.Peek().Seconds < 0.7 * WindowSeconds
        )
            return false;
        var (low, high) = (place.History.Min(h => h.Value), place.History.Max(h => h.Value));
        var width = now.Max is { } max ? (max - (now.Min ?? -max)) / 2 : 0;
        return high - low <= Math.Max(2 * (now.Reading.Uncertainty ?? 0), StillShare * width) || since > LongestSeconds;
    }

    private static LiveReading Averaged(Place place, LiveReading now)
    {
        var values = place.History.Select(h => h.Value).ToArray();
        var half = (values.Max() - values.Min()) / 2;
        // What moves within the window is not known better than half of that; the last picture's own uncertainty is that of its own window.
        return now with
        {
            Reading = now.Reading with
            {
                Value = values.Average(),
                Uncertainty = now.Reading.Uncertainty is { } u ? Math.Max(u, half) : null,
            },
        };
    }

    private static void Take(Place place, LiveReading reading)
    {
        if (place.Journal is null)
        {
            var journal = new TurnJournal(place.Control.Now(), reading.Reading);
            place.Journal = journal.Begin(reading) ? journal : null;
        }
        else if (place.Journal.IsPending)
        {
            place.Journal.ReadAfter(reading);
        }
        else
        {
            place.Journal.ReadAgain(reading);
        }
    }

    private sealed class Place(DeskControl control)
    {
        public DeskControl Control { get; } = control;

        public TurnJournal? Journal { get; set; }

        public Queue<(double Seconds, double Value)> History { get; } = new();

        public double TurnedAt { get; set; } = double.NegativeInfinity;

        public LiveReading? Now { get; set; }

        public DeskLine Line() => new(Control, Now, Journal?.Advice, Journal?.IsPending ?? false, Journal?.Moves ?? 0);
    }
}
