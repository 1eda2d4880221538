using Spoolwright.Bench.Decks;

namespace Spoolwright.Bench.Tape;

/// <summary>A line seen in the flutter.</summary>
/// <param name="FrequencyHz">Its frequency, Hz.</param>
/// <param name="PeakPercent">Its peak speed deviation, %.</param>
/// <param name="FrequencyUncertaintyHz">Expanded uncertainty (k = 2) of its frequency, Hz.</param>
public sealed record FlutterLineSeen(double FrequencyHz, double PeakPercent, double FrequencyUncertaintyHz);

/// <summary>A part and a harmonic of its turn that may make a line.</summary>
/// <param name="Part">The part's name in the profile.</param>
/// <param name="Kind">Its kind.</param>
/// <param name="Harmonic">1 for the turn itself.</param>
/// <param name="ExpectedLowHz">Where the line should lie, lowest, Hz.</param>
/// <param name="ExpectedHighHz">Highest; the same but for a reel whose radius is not known.</param>
public sealed record FlutterCause(string Part, RotatingPartKind Kind, int Harmonic, double ExpectedLowHz, double ExpectedHighHz);

/// <summary>A cause that fits, and how sure.</summary>
/// <param name="Cause">The cause.</param>
/// <param name="Confidence">How sure, 0 to 1; the confidences of all causes of one line, none included, add up to 1.</param>
public sealed record FlutterFit(FlutterCause Cause, double Confidence);

/// <summary>What makes a line, as far as the rates of the deck's parts tell.</summary>
/// <param name="Line">The line.</param>
/// <param name="Best">The cause that fits best; null where none of the profile's parts is likelier than something unknown.</param>
/// <param name="Rivals">Other causes worth at least a tenth, the best first.</param>
/// <param name="NearestMiss">For a line that fits none: the nearest harmonic of any part; null without one.</param>
/// <param name="Text">One plain sentence: what it is, who else fits, and a hint where it may be hum.</param>
/// <param name="MayBeHum">The line stands at mains frequency or twice it: hum in the carrier looks the same.</param>
public sealed record FlutterLineMatch(
    FlutterLineSeen Line,
    FlutterFit? Best,
    IReadOnlyList<FlutterFit> Rivals,
    FlutterCause? NearestMiss,
    string Text,
    bool MayBeHum);
