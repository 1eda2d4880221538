using Spoolwright.Bench;
using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Live;

namespace Spoolwright.App.Web;

/// <summary>The desks of a session, one for each adjustment, the one on the screen in front. Not safe for use from several threads at
/// once.</summary>
internal sealed class SessionDesks(BookShelf shelf)
{
    private readonly Dictionary<string, TurnDesk> _desks = new(StringComparer.Ordinal);
    private LiveAdjustment? _shown;
    private double _seconds;

    /// <summary>The practice deck, whose controls lie on the desks; null: a real one, whose controls only the person knows.</summary>
    public PracticeInput? Input { get; set; }

    /// <summary>The desk on the screen; null: the screen has none.</summary>
    public TurnDesk? Active =>
        _shown is null ? null
        : _desks.TryGetValue(_shown.Id, out var desk) ? desk
        : _desks[_shown.Id] = new TurnDesk(_shown, Input?.Controls(_shown) ?? RealControls(_shown));

    /// <summary>Brings an adjustment to the front.</summary>
    public void Show(LiveAdjustment? adjustment) => _shown = adjustment;

    /// <summary>Another deck, condition or input: all begins anew.</summary>
    public void Clear() => _desks.Clear();

    /// <summary>Looks at a picture.</summary>
    public void See(LivePicture picture, LiveContext context)
    {
        _seconds = picture.Input.Seconds;
        Active?.See(picture, context);
    }

    /// <summary>A turn as the person wrote it.</summary>
    /// <exception cref="Cli.CallException">It cannot be read, or there is no such control.</exception>
    public void Turned(string control, string text, Guid? job, LiveContext context)
    {
        if (Active is not { } desk)
            return;
        var name = control.Length > 0 ? control : desk.Controls.FirstOrDefault()?.Name ?? "";
        if (TurnText.Legs(text, TurnUnit.Turn, out var problem) is not { } legs)
            throw new Cli.CallException(problem ?? "That is no turn.");
        if (legs.Any(l => Math.Abs(l) > 20))
            throw new Cli.CallException($"{text}: more than twenty turns at once cannot be weighed.");
        foreach (var leg in legs)
        {
            if (!desk.Turned(name, leg, _seconds))
                throw new Cli.CallException($"There is no control \"{name}\" here.");
        }

        Note(desk, job, context);
    }

    /// <summary>A turn of the practice deck's control by so much.</summary>
    public void TurnedBy(string name, double amount, Guid? job, LiveContext context)
    {
        if (amount != 0 && Active is { } desk && desk.Turned(name, amount, _seconds))
            Note(desk, job, context);
    }

    private void Note(TurnDesk desk, Guid? job, LiveContext context)
    {
        if (job is { } id && context.Condition is { } condition)
            shelf.Adjusted.Add(id, desk.Adjustment.Id, condition);
    }

    // Where a real screw stands in its range is not known: it may go its range either way. Screws have a few turns, trimmers three quarters
    // of one.
    private static IReadOnlyList<DeskControl> RealControls(LiveAdjustment adjustment)
    {
        var most = adjustment.Control == ControlKind.AzimuthScrew ? 2.5 : 0.75;
        DeskControl One(string name, Channel channel) =>
            new(
                name,
                channel,
                () =>
                    new Control
                    {
                        Name = name,
                        Unit = TurnUnit.Turn,
                        From = -most,
                        To = most,
                        Start = 0,
                        Kind = adjustment.Control,
                    }
            );
        var what = adjustment.Id switch
        {
            "azimuth" => "azimuth screw",
            "record-azimuth" => "record head's azimuth screw",
            "speed" => "speed trimmer",
            "equalization" => "playback equalization",
            "level" => "playback level",
            var id => id.Replace('-', ' '),
        };
        return adjustment.EachChannel
            ? [One("left " + what, Channel.Left), One("right " + what, Channel.Right)]
            : [One(what, Channel.Both)];
    }
}
