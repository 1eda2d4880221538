namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>The catalogue's entries that are read from a gauge or stopwatch and typed in.</summary>
internal static class GaugeEntries
{
    private const string Reels =
        "Turning reels catch fingers, hair and sleeves, and a tape under tension whips when it parts: keep clear, and stop no reel by its flange. ";

    private const string Open =
        "An open deck carries mains and stored charge: follow your local rules, and leave mains work to those licensed for it. ";

    public static IReadOnlyList<MeasurementEntry> All { get; } =
    [
        Entry(
            "tension", "Tape tension",
            "Takes tensions read with a gauge through its own curve, and shows how they spread from full to empty reel beside what a constant torque makes.",
            Reels
                + Open
                + "With scrap tape of the kind that the gauge was calibrated on, play; put the gauge on the free tape between reel and heads, square to it and clear of "
                + "flanges; watch one turn of the reel and write the mean, three times. Both reels; reel full, half and empty; both directions.",
            [
                Quantity.SupplyTension,
                Quantity.TakeUpTension,
                Quantity.WindSupplyTension,
                Quantity.WindTakeUpTension,
                Quantity.TensionSpread,
                Quantity.TensionSpreadExpected,
                Quantity.TensionExponent,
                Quantity.HoldBackTorque,
                Quantity.TakeUpTorque,
                Quantity.WindHoldBackTorque,
                Quantity.WindTakeUpTorque,
            ],
            "[WINDING] [GUM:2008]", TensionMeasurement.Measure),
        Entry(
            "torque", "Reel torque",
            "Takes torques read with a torque gauge, or a string pulled off the hub, and tells the tensions that they make at each radius.",
            Reels
                + Open
                + "Without tape, hold the tension arms where they stand while playing. Set the torque gauge on the reel table, or wind a string on an empty hub of known radius "
                + "and pull it with a spring balance, let the reel draw or follow at about tape speed, and write three readings. Take-up, hold-back, both directions.",
            [
                Quantity.TakeUpTorque,
                Quantity.HoldBackTorque,
                Quantity.WindTakeUpTorque,
                Quantity.WindHoldBackTorque,
                Quantity.BrakeTorque,
                Quantity.TakeUpTension,
                Quantity.SupplyTension,
                Quantity.WindTakeUpTension,
                Quantity.WindSupplyTension,
            ],
            "[WINDING] [GUM:2008]", TorqueMeasurement.Measure),
        Entry(
            "brakes", "Brakes",
            "Takes brake torques of both reels, turned both ways, and tells whether the trailing reel brakes harder, left against right, and how stops went.",
            "Unplug the deck for the torques. With the brakes on, turn each reel slowly by torque gauge, or by a string on its hub and a spring balance: as the tape comes off (unwind) and as "
                + "it goes on (wind), three readings each. Then close what was open, thread scrap tape, and stop out of full fast wind both ways, with full and with empty reel. "
                + Reels,
            [Quantity.BrakeTorque, Quantity.BrakeRatio, Quantity.BrakeTrail, Quantity.BrakeBalance, Quantity.StopTime, Quantity.StopFaults],
            "[WINDING] [GUM:2008]", BrakesMeasurement.Measure),
        Entry(
            "wind-time", "Wind time",
            "Takes the time of a fast wind from end to end, beside what the reels' geometry and the rate or speed of winding make of it.",
            Reels + "With scrap tape of known length, wind from end to end and time it from the key to the last turn; both directions.",
            [Quantity.WindTime, Quantity.WindTimeExpected, Quantity.WindSpeed],
            "[WINDING]", WindTimeMeasurement.Measure),
        Entry(
            "pinch-force", "Pinch force",
            "Takes the force that just lifts the pinch roller from the capstan, through the gauge's own curve.",
            Open
                + "Play scrap tape with the solenoid fully home. Hook a spring balance on the roller's shaft, pull straight away from the capstan, and read when the tape stops, the roller stops "
                + "or the roller leaves the capstan: the three differ, so write which. Keep fingers and cord out of capstan and roller.",
            [Quantity.PinchForce],
            "[GUM:2008]", PinchForceMeasurement.Measure),
    ];

    private static MeasurementEntry Entry(
        string id,
        string name,
        string description,
        string whatToDo,
        IReadOnlyList<Quantity> yields,
        string standard,
        Func<BenchSheet, SheetSettings, MeasurementResult> measure
    ) => new(id, name, description, whatToDo.Trim(), yields, standard, Measure: null) { MeasureSheet = measure };
}
