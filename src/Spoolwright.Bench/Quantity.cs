namespace Spoolwright.Bench;

/// <summary>A quantity that readings speak of: its id (stored and printed), unit and plain name.</summary>
/// <param name="Id">Kebab-case, stable: the contract's word.</param>
/// <param name="Unit">Unit as printed.</param>
/// <param name="Name">Plain name for a person.</param>
/// <param name="Meaning">One sentence on what the value says, with sign.</param>
public sealed record Quantity(string Id, string Unit, string Name, string Meaning)
{
    public static readonly Quantity SpeedError = new("speed-error", "%", "Speed error", "Time mean of tape speed against nominal; positive is fast.");
    public static readonly Quantity Drift = new("drift", "%", "Drift", "Change of a straight line fitted to the speed, from start to end of the capture.");
    public static readonly Quantity QuasiPeak = new("wow-flutter-quasi-peak", "%", "Wow and flutter, weighted quasi-peak", "95th percentile in time of the quasi-peak detector's indication, half of peak to peak.");
    public static readonly Quantity QuasiPeakMaximum = new("wow-flutter-quasi-peak-maximum", "%", "Wow and flutter, weighted quasi-peak, highest", "Highest indication of the quasi-peak detector after settling.");
    public static readonly Quantity TwoSigma = new("wow-flutter-two-sigma", "%", "Wow and flutter, weighted two-sigma", "Weighted speed deviation exceeded for 5 % of the time.");
    public static readonly Quantity WeightedRms = new("wow-flutter-rms", "%", "Wow and flutter, weighted rms", "Root mean square of the weighted speed deviation.");
    public static readonly Quantity UnweightedRms = new("wow-flutter-unweighted-rms", "%", "Wow and flutter, unweighted rms", "Root mean square of the speed deviation from 0.2 to 200 Hz.");
    public static readonly Quantity WowRms = new("wow-rms", "%", "Wow, unweighted rms", "Root mean square of the speed deviation in the wow band.");
    public static readonly Quantity FlutterRms = new("flutter-rms", "%", "Flutter, unweighted rms", "Root mean square of the speed deviation in the flutter band.");
    public static readonly Quantity ScrapeRms = new("scrape-flutter-rms", "%", "Scrape flutter, rms", "Root mean square of the speed deviation above 200 Hz, as far as the carrier allows.");
    public static readonly Quantity FlutterLine = new("flutter-line", "%", "Flutter line", "Peak speed deviation of one line of the flutter spectrum.");
    public static readonly Quantity ToneLevel = new("tone-level", "dBFS", "Tone level", "Level of the sine by its rms; a full-scale sine is 0.");
    public static readonly Quantity Response = new("response", "dB", "Response", "Level found less the level the tape holds, less the same at the reference tone.");
    public static readonly Quantity ResponseMax = new("response-max", "dB", "Response, highest", "Highest response over the judged tones.");
    public static readonly Quantity ResponseMin = new("response-min", "dB", "Response, lowest", "Lowest response over the judged tones.");
    public static readonly Quantity ChannelBalance = new(
        "channel-balance",
        "dB",
        "Channel balance",
        "Left level less right level at the reference tone."
    );
    public static readonly Quantity PlaybackLevel = new(
        "playback-level",
        "dBFS",
        "Playback level at reference fluxivity",
        "Level that the tape's reference fluxivity gives at the interface."
    );
    public static readonly Quantity OutputLevel = new(
        "output-level",
        "dBu",
        "Output level",
        "Level of the reference tone at the deck's output, where the interface is calibrated in volts."
    );
    public static readonly Quantity TrebleTilt = new(
        "treble-tilt",
        "dB",
        "Treble tilt",
        "Mean response of the tones above 5 kHz; positive: too bright, so equalization is set too high."
    );
    public static readonly Quantity BassTilt = new("bass-tilt", "dB", "Bass tilt", "Mean response of the judged tones below 250 Hz.");
    public static readonly Quantity TimeSkew = new(
        "time-skew",
        "µs",
        "Time skew",
        "Delay of the right channel against the left; positive: right later."
    );
    public static readonly Quantity Phase = new("phase", "°", "Phase", "Phase of right minus left at one tone, within ±180°.");
    public static readonly Quantity AzimuthAngle = new("azimuth-angle", "arcmin", "Azimuth angle", "Apparent angle of the gap; positive: its upper end meets the tape later.");
    public static readonly Quantity AzimuthWander = new("azimuth-wander", "µs", "Azimuth wander", "Peak to peak of the slow movement of the time skew during a tone (5th to 95th percentile).");
    public static readonly Quantity MonoSumLoss = new("mono-sum-loss", "dB", "Mono-sum loss", "Level lost when the channels are summed to mono, at one tone.");
    public static readonly Quantity Thd = new("thd", "%", "Total harmonic distortion", "Root of the sum of squares of the harmonics below 20 kHz over the total of fundamental and harmonics, noise taken out.");
    public static readonly Quantity ThirdHarmonic = new("third-harmonic", "%", "Third harmonic", "Third harmonic over the total of fundamental and harmonics, noise taken out.");
    public static readonly Quantity SecondHarmonic = new("second-harmonic", "%", "Second harmonic", "Second harmonic over the total of fundamental and harmonics, noise taken out.");
    public static readonly Quantity Mol = new("mol", "dBFS", "Maximum output level", "Level of the fundamental at which the third harmonic is 3 %.");
    public static readonly Quantity MolRelative = new("mol-relative", "dB", "Maximum output level over reference level", "The same less the reference level stated.");
    public static readonly Quantity Saturation = new("saturation", "dBFS", "Saturation", "Highest output level that a high tone reaches while its input goes on rising.");

    public static readonly Quantity NoiseA = new(
        "noise-a",
        "dBFS",
        "Noise, A-weighted",
        "Root mean square of the A-weighted noise, on the scale of the tone level."
    );
    public static readonly Quantity Noise468 = new(
        "noise-468",
        "dBFS",
        "Noise, 468-weighted",
        "Mean indication of the quasi-peak detector behind the 468 weighting, calibrated at 1 kHz, on the scale of the tone level."
    );
    public static readonly Quantity NoiseUnweighted = new(
        "noise-unweighted",
        "dBFS",
        "Noise, unweighted",
        "Root mean square from 22.4 Hz to 22.4 kHz or as far as the sample rate reaches, on the scale of the tone level."
    );
    public static readonly Quantity Hiss = new("hiss", "dBFS", "Hiss, unweighted", "The unweighted noise without the lines of the mains.");
    public static readonly Quantity SignalToNoiseA = new(
        "signal-to-noise-a",
        "dB",
        "Signal to noise, A-weighted",
        "Reference level less the A-weighted noise."
    );
    public static readonly Quantity SignalToNoise468 = new(
        "signal-to-noise-468",
        "dB",
        "Signal to noise, 468-weighted",
        "Reference level less the 468-weighted noise."
    );
    public static readonly Quantity SignalToNoiseUnweighted = new(
        "signal-to-noise-unweighted",
        "dB",
        "Signal to noise, unweighted",
        "Reference level less the unweighted noise."
    );
    public static readonly Quantity Hum = new("hum", "dBFS", "Hum line", "Level of one line of the mains in the noise.");
    public static readonly Quantity MainsFrequency = new(
        "mains-frequency",
        "Hz",
        "Mains frequency",
        "Frequency of the mains by the hum lines found."
    );
    public static readonly Quantity EraseDepth = new(
        "erase-depth",
        "dB",
        "Depth of erasure",
        "Level of the recorded tone less what is left of it after erasure; positive."
    );
    public static readonly Quantity Separation = new(
        "separation",
        "dB",
        "Channel separation",
        "Level of a tone in the channel that carries it less its leak into the other one; positive."
    );
    public static readonly Quantity ReverseLeak = new(
        "reverse-leak",
        "dB",
        "Leak of the other direction",
        "Reference level less the level of what leaks from the other direction's tracks; positive."
    );
    public static readonly Quantity DropoutCount = new("dropout-count", "1", "Dropouts", "Dropouts found in the capture.");
    public static readonly Quantity DropoutRate = new(
        "dropout-rate",
        "1/min",
        "Dropouts per minute",
        "Dropouts found, per minute of tone."
    );
    public static readonly Quantity DropoutClass = new(
        "dropout-class",
        "1",
        "Dropouts of one class",
        "Dropouts at least as deep and as long as the method says."
    );
    public static readonly Quantity LevelStability = new(
        "level-stability",
        "dB",
        "Level stability",
        "From the 5th to the 95th percentile of the level over a tenth of a second."
    );

    // Recorded on the deck itself: bias and record.
    public static readonly Quantity BiasPeak = new("bias-peak", "dBFS", "Bias peak", "Level at the peak over bias, fitted.");
    public static readonly Quantity Overbias = new(
        "overbias",
        "dB",
        "Drop past the bias peak",
        "Peak less the level at the end of the capture; positive."
    );
    public static readonly Quantity OverbiasWanted = new(
        "overbias-wanted",
        "dB",
        "Wanted drop past the bias peak",
        "What the tape setting or the call asks for."
    );
    public static readonly Quantity OverbiasError = new(
        "overbias-error",
        "dB",
        "Drop less wanted drop",
        "Positive: more drop than wanted."
    );
    public static readonly Quantity WantedDropTime = new(
        "wanted-drop-time",
        "s",
        "Where the wanted drop lay",
        "Time in the capture at which the wanted drop was passed after the peak."
    );
    public static readonly Quantity BiasLeak = new(
        "bias-leak",
        "dBFS",
        "Bias in the output",
        "Level of the bias itself in the deck's output, where the capture's rate shows it."
    );
    public static readonly Quantity MonitorDelay = new("monitor-delay", "ms", "Monitor delay", "Time from record head to playback head.");
    public static readonly Quantity RecordResponse = new(
        "record-response",
        "dB",
        "Response due to record",
        "Overall response less the playback response of the same condition."
    );
    public static readonly Quantity RecordTimeSkew = new(
        "record-time-skew",
        "µs",
        "Time skew due to record",
        "Skew of one's own recording less the playback skew; positive: right later."
    );
    public static readonly Quantity Intermodulation = new(
        "intermodulation",
        "dB",
        "Intermodulation product",
        "Level of the product at that frequency less that of the 1 kHz tone beside it."
    );

    public static readonly Quantity SupplyTension = new("supply-tension", "gf", "Supply tension, play", "Force in the tape between the supply reel and the heads, while playing.");
    public static readonly Quantity TakeUpTension = new("take-up-tension", "gf", "Take-up tension, play", "Force in the tape between the capstan and the take-up reel, while playing.");
    public static readonly Quantity WindSupplyTension = new("wind-supply-tension", "gf", "Supply tension, fast wind", "The same at the supply reel in fast wind.");
    public static readonly Quantity WindTakeUpTension = new("wind-take-up-tension", "gf", "Take-up tension, fast wind", "The same at the take-up reel in fast wind.");
    public static readonly Quantity TensionSpread = new("tension-spread", "gf", "Tension spread over the reel", "Highest less lowest tension at one reel, from full to empty.");
    public static readonly Quantity TensionSpreadExpected = new("tension-spread-expected", "gf", "Tension spread expected of constant torque", "What the spread would be if the reel's torque did not change with its radius.");
    public static readonly Quantity TensionExponent = new("tension-exponent", "1", "Tension exponent", "p in tension proportional to 1/radius^p: 1 is constant torque, 0 constant tension.");
    public static readonly Quantity HoldBackTorque = new("hold-back-torque", "g·cm", "Hold-back torque, play", "Torque that brakes the supply reel while playing.");
    public static readonly Quantity TakeUpTorque = new("take-up-torque", "g·cm", "Take-up torque, play", "Torque that turns the take-up reel while playing.");
    public static readonly Quantity WindHoldBackTorque = new("wind-hold-back-torque", "g·cm", "Hold-back torque, fast wind", "Torque that brakes the supply reel in fast wind.");
    public static readonly Quantity WindTakeUpTorque = new("wind-take-up-torque", "g·cm", "Take-up torque, fast wind", "Torque that turns the take-up reel in fast wind.");
    public static readonly Quantity BrakeTorque = new("brake-torque", "g·cm", "Brake torque", "Torque at which a braked reel slips, turned the way the tape unwinds from it or winds onto it.");
    public static readonly Quantity BrakeRatio = new("brake-ratio", "1", "Brake ratio of one reel", "Brake torque unwinding over winding, of one reel.");
    public static readonly Quantity BrakeTrail = new("brake-trail-ratio", "1", "Trailing over leading brake", "Brake torque of the reel that gives tape over that of the reel that takes it, in one direction; under 1 a loop is thrown.");
    public static readonly Quantity BrakeBalance = new("brake-balance", "g·cm", "Brake balance", "Left brake torque less right, turned the same way.");
    public static readonly Quantity StopTime = new("stop-time", "s", "Stop time", "From the key to the reels at rest, out of fast wind.");
    public static readonly Quantity StopFaults = new(
        "stop-faults",
        "1",
        "Stops with a loop or a stretch",
        "How many of the stops tried threw a loop or stretched the tape."
    );
    public static readonly Quantity WindTime = new("wind-time", "s", "Wind time", "From end to end in fast wind.");
    public static readonly Quantity WindTimeExpected = new(
        "wind-time-expected",
        "s",
        "Wind time expected",
        "What reel geometry and the rate or speed of winding make of it."
    );
    public static readonly Quantity WindSpeed = new("wind-speed", "m/s", "Mean wind speed", "Length of the tape over the time measured.");
    public static readonly Quantity PinchForce = new("pinch-force", "gf", "Pinch force", "Force on the roller's shaft that just lifts it.");

    /// <summary>Every quantity, in the catalogue's order.</summary>
    public static IReadOnlyList<Quantity> All { get; } =
    [
        SupplyTension, TakeUpTension, WindSupplyTension, WindTakeUpTension, TensionSpread, TensionSpreadExpected, TensionExponent,
        HoldBackTorque, TakeUpTorque, WindHoldBackTorque, WindTakeUpTorque, BrakeTorque, BrakeRatio, BrakeTrail, BrakeBalance, StopTime, StopFaults,
        WindTime, WindTimeExpected, WindSpeed, PinchForce,
        SpeedError, Drift, QuasiPeak, QuasiPeakMaximum, TwoSigma, WeightedRms, UnweightedRms, WowRms, FlutterRms, ScrapeRms, FlutterLine,
        ToneLevel, Response, ResponseMax, ResponseMin, ChannelBalance, PlaybackLevel, OutputLevel, TrebleTilt, BassTilt,
        TimeSkew, Phase, AzimuthAngle, AzimuthWander, MonoSumLoss,
        BiasPeak, Overbias, OverbiasWanted, OverbiasError, WantedDropTime, BiasLeak, MonitorDelay, RecordResponse, RecordTimeSkew, Intermodulation,
        Thd, ThirdHarmonic, SecondHarmonic, Mol, MolRelative, Saturation,
        NoiseA, Noise468, NoiseUnweighted, Hiss, SignalToNoiseA, SignalToNoise468, SignalToNoiseUnweighted, Hum, MainsFrequency,
        Separation, ReverseLeak, EraseDepth, DropoutCount, DropoutRate, DropoutClass, LevelStability,
    ];

    /// <summary>The quantity of that id, or null.</summary>
    public static Quantity? Find(string id) => All.FirstOrDefault(q => string.Equals(q.Id, id, StringComparison.Ordinal));
}
