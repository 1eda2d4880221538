namespace Spoolwright.Bench.Service.Field;

/// <summary>A reading of one deck among its kind.</summary>
/// <param name="DeckId">The deck.</param>
/// <param name="SerialNumber">Its serial number.</param>
/// <param name="JobId">The job.</param>
/// <param name="MeasurementId">The measurement.</param>
/// <param name="MeasuredAt">When.</param>
/// <param name="Mark">At which point of the job.</param>
/// <param name="Key">What it is a reading of.</param>
/// <param name="Value">Its value, in the key's unit.</param>
/// <param name="Superseded">Whether a later one took its place.</param>
/// <param name="Instruments">Names of what it leaned on, in order.</param>
/// <param name="Measured">False: typed in, or an invented history; not read from a capture.</param>
public sealed record FieldReading(
    Guid DeckId, string SerialNumber, Guid JobId, Guid MeasurementId, DateTimeOffset MeasuredAt, Mark Mark, FieldKey Key, double Value,
        bool Superseded, string Instruments, bool Measured);

/// <summary>What readings must have in common to be compared.</summary>
public sealed record FieldKey(
    string Quantity, string Unit, Direction Direction, double SpeedCmPerS, string? TapeSetting, Channel Channel, double? FrequencyHz,
        string? Role, string? Class, string? Place)
{
    /// <summary>The same for people, such as <c>Speed error, forward 19.05 cm/s</c>.</summary>
    public string Words => Said(Bench.Quantity.Find(Quantity)?.Name ?? Quantity);

    /// <summary>Such as <c>speed-error, forward 19.05 cm/s</c>.</summary>
    public override string ToString() => Said(Quantity);

    private string Said(string quantity)
    {
        var text = string.Create(System.Globalization.CultureInfo.InvariantCulture,
            $"{quantity}, {KebabWord.Of(Direction)} {SpeedCmPerS:0.###} cm/s");
        foreach (var more in new[] { TapeSetting, Channel == Channel.Both ? null : KebabWord.Of(Channel), FrequencyHz is { } f
            ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{f:0.#} Hz") : null, Class, Place })
            text += more is null ? "" : ", " + more;
        return text;
    }
}
