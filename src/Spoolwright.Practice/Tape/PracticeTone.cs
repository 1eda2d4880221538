namespace Spoolwright.Practice.Tape;

/// <summary>What a tone on a test tape is there for.</summary>
public enum PracticeToneRole
{
    Reference,
    Azimuth,
    Response,
}

/// <summary>One tone of a tape.</summary>
/// <param name="FrequencyHz">Nominal frequency at the tape's own speed, Hz.</param>
/// <param name="LevelDb">Level the leaflet gives, dB against the tape's reference fluxivity by its flux curve.</param>
/// <param name="Seconds">How long it lasts at the tape's own speed.</param>
/// <param name="Role">What it is there for.</param>
/// <param name="ErrorDb">How much more the tape truly holds, dB; a certificate states it as a correction.</param>
/// <param name="GapSeconds">What lies before it without a tone, s: silence, or an announcement.</param>
/// <param name="Announced">Whether a voice speaks before it.</param>
public sealed record PracticeTone(
    double FrequencyHz,
    double LevelDb,
    double Seconds,
    PracticeToneRole Role = PracticeToneRole.Response,
    double ErrorDb = 0,
    double GapSeconds = 1,
    bool Announced = false
);
