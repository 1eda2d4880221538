using Spoolwright.App.Desk;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.App.Demo;

/// <summary>What is done to each deck of the invented year, through the desks.</summary>
internal sealed class ShopYearWork(ServiceBook book, MovedClock clock, Random random)
{
    private const string Invented = "invented history of the demonstration: typed, not measured from a capture";

    private readonly PlanDesk plan = new(book);
    private readonly CheckDesk checks = new(book);
    private readonly SupplyDesk supplies = new(book);
    private readonly InstrumentDesk instruments = new(book);

    private DateOnly Today => DateOnly.FromDateTime(clock.Time.UtcDateTime);

    /// <summary>The shelves at the beginning of the year.</summary>
    public void StockUp()
    {
        foreach (var (name, kind, unit, reorder, supplier, lot, quantity, price) in new (string, SupplyKind, string, decimal, string,
            string, decimal, decimal)[]
        {
            ("capstan belt 350", SupplyKind.Belt, "piece", 2, "Harrow Rubber", "HR-118", 9, 4.20m),
            ("capstan belt 350", SupplyKind.Belt, "piece", 2, "Harrow Rubber", "HR-131", 8, 4.60m),
            ("pinch roller 30 mm", SupplyKind.Roller, "piece", 2, "Harrow Rubber", "PR-07", 24, 11.50m),
            ("relay, two changeover", SupplyKind.Relay, "piece", 4, "Brindle Electrical", "B-4402", 18, 3.10m),
            ("relay, two changeover", SupplyKind.Relay, "piece", 4, "Brindle Electrical", "B-4519", 20, 3.30m),
            ("meter lamp 8 V", SupplyKind.Lamp, "piece", 4, "Brindle Electrical", "L-22", 30, 0.80m),
            ("bearing oil", SupplyKind.Lubricant, "ml", 20, "Fenwright Oils", "F-9", 100, 0.18m),
            ("slide grease", SupplyKind.Lubricant, "g", 20, "Fenwright Oils", "G-3", 80, 0.25m),
        })
        {
            if (supplies.Board().Supplies.All(s => s.Supply.Name != name))
                supplies.Keep(name, kind, unit, reorder);
            supplies.Receive(name, supplier + " (invented)", lot, Today, quantity, new Money(price, "EUR"));
        }
    }

    /// <summary>The register at the beginning of the year.</summary>
    public void KeepInstruments()
    {
        foreach (var (kind, name, due, plays) in new (string, string, int?, int?)[]
        {
            ("test-tape", RestorersTapes.Speed(9.525).Name, 700, 300), ("test-tape", RestorersTapes.Speed(19.05).Name, 700, 300),
            ("test-tape", RestorersTapes.Levels(9.525).Name, 700, 250), ("test-tape", RestorersTapes.Levels(19.05).Name, 700, 250),
            ("tension-gauge", "tension gauge of the bench, 200 gf", 180, null), ("audio-interface", BenchInterface.Name, null, null),
        })
        {
            instruments.Keep(new KeptInstrument
            {
                Kind = kind,
                Name = name,
                Certificate = "invented",
                CertifiedOn = Today,
                DueOn = due is { } days ? Today.AddDays(days) : null,
                PlaysBefore = plays is null ? 0 : 20 + random.Next(30),
                PlaysAtMost = plays,
            });
        }
    }

    /// <summary>What went wrong in the fifth month: relays that stick, and a gauge that was forgotten.</summary>
    public void Doubts()
    {
        supplies.Doubt("B-4402", "two of them stuck after a month");
        instruments.Note("tension gauge of the bench, 200 gf", InstrumentEventKind.Doubt, clock.Time.AddDays(-45),
            "reads 4 % high against its weights");
        clock.Wait(60 * 24 * 3);
        instruments.Note("tension gauge of the bench, 200 gf", InstrumentEventKind.Calibrated, clock.Time,
            "weights hung on tape, new curve", Today.AddDays(400));
        instruments.Note(RestorersTapes.Speed(19.05).Name, InstrumentEventKind.FieldExposure, clock.Time, "lay beside the demagnetiser");
        clock.Wait(60 * 4);
        instruments.Note(RestorersTapes.Speed(19.05).Name, InstrumentEventKind.Cleared, clock.Time,
            "level against the other speed tape unchanged within 0.1 dB");
    }

    /// <summary>The whole of a job but its sale.</summary>
    public void Restore(Job job, Deck deck, double hard)
    {
        var profile = JobDesk.ProfileOf(deck);
        Functions(job, leftToo: false);
        Readings(job, profile, Mark.AsFound, hard);
        Tasks(job, hard, Stage.Packing);
        Fit(job);
        Readings(job, profile, Mark.AsLeft, hard);
        Functions(job, leftToo: true);
    }

    /// <summary>Works through the tasks up to a stage, clock and all. Some sittings are typed in afterwards, one is corrected.</summary>
    public void Tasks(Job job, double hard, Stage last)
    {
        var corrected = false;
        foreach (var task in plan.Board(job.Id).Tasks.Where(t => t.Task.Stage <= last).ToList())
        {
            var minutes = task.Task.MinutesForeseen * hard * Math.Exp(0.25 * Normal());
            if (minutes >= 1)
            {
                clock.KeepToWorkingHours(minutes);
                if (random.Next(4) == 0)
                {
                    clock.Wait(minutes);
                    var entry = plan.Enter(job.Id, task.Task.Key, FormattableString.Invariant($"{Math.Round(minutes)} min"),
                        TimeZoneInfo.Utc);
                    if (!corrected && minutes > 20)
                    {
                        plan.Correct(entry.Id, FormattableString.Invariant($"{Math.Round(minutes) + 10} min"), TimeZoneInfo.Utc,
                            "the telephone was no work; the search for the spring was");
                        corrected = true;
                    }
                }
                else
                {
                    plan.Start(job.Id, task.Task.Key, TimeZoneInfo.Utc);
                    clock.Wait(minutes);
                }
            }

            plan.Done(job.Id, task.Task.Key);
        }
    }

    /// <summary>Ticks the functions: as found with a few faults, as left all of them working or accepted.</summary>
    public void Functions(Job job, bool leftToo)
    {
        var board = checks.Board(job.Id);
        string[] keys = [.. board.Checks.Select(c => c.Check.Key)];
        if (board.Checks.All(c => c.AsFound is null))
        {
            var faults = keys.Where(_ => random.Next(14) == 0).ToHashSet();
            checks.TickAll(job.Id, [.. keys.Where(k => !faults.Contains(k))], Mark.AsFound, CheckOutcome.Works);
            foreach (var key in faults)
                checks.Tick(job.Id, key, Mark.AsFound, CheckOutcome.Fault, Faulty(key));
        }

        if (!leftToo)
            return;
        checks.TickAll(job.Id, [.. keys.Where(k => k != "remote")], Mark.AsLeft, CheckOutcome.Works);
        checks.Tick(job.Id, "remote", Mark.AsLeft, CheckOutcome.NotTried, "no remote control at hand");
        checks.Accept(job.Id, "remote", "No remote control of this kind was at hand, so its socket was not tried.");
    }

    /// <summary>Fits what such a deck takes.</summary>
    public void Fit(Job job)
    {
        var reverse = plan.Board(job.Id).Tasks.Any(t => t.Task.Key == "rebuild-reverse");
        supplies.Fit(job.Id, "capstan belt 350", 1, "capstan", Today);
        supplies.Fit(job.Id, "pinch roller 30 mm", reverse ? 2 : 1, reverse ? "both directions" : "head block", Today);
        supplies.Fit(job.Id, "relay, two changeover", 2 + random.Next(2), "logic board", Today);
        supplies.Fit(job.Id, "meter lamp 8 V", 2, "meters", Today);
        supplies.Fit(job.Id, "bearing oil", 3, "capstan, motors", Today);
        supplies.Fit(job.Id, "slide grease", 2, "levers", Today);
        new OfferDesk(book).AddCost(job.Id, CostKind.Part, new Money(18 + random.Next(45), "EUR"), Today,
            "capacitors, switches and small parts");
    }

    /// <summary>The same deck months later: as it was left within the uncertainty, but for the reverse azimuth.</summary>
    public void MeasuredAgain(Job job, Job earlier)
    {
        var file = book.ReadJob(earlier.Id);
        var profile = JobDesk.ProfileOf(file.Deck);
        // Entries of one moment stand in the book in no order that comes again: the seed's draws need one.
        foreach (var m in file.Measurements.Where(m => m.Entry.Mark == Mark.AsLeft)
            .OrderBy(m => m.Entry.Measurement, StringComparer.Ordinal).ThenBy(m => m.Entry.Condition.Direction)
            .ThenBy(m => m.Entry.Condition.SpeedCmPerS).ThenBy(m => m.Entry.Condition.TapeSetting, StringComparer.Ordinal))
        {
            var moved = m.Entry.Measurement == "azimuth" && m.Entry.Condition.Direction == Direction.Reverse ? 2.6 : 0;
            Reading[] again =
            [
                .. m.Result.Readings.Select(r => r with { Value = Math.Round(r.Value + moved + 0.3 * r.Uncertainty!.Value * Normal(), 4) }),
            ];
            File(job, profile, m.Entry.Condition, Mark.AsFound, m.Entry.Measurement, m.Entry.Instruments, again);
        }
    }

    /// <summary>Readings of a deck that nobody can play: typed, and marked as what they are.</summary>
    public void Readings(Job job, DeckProfile profile, Mark mark, double hard)
    {
        var found = mark == Mark.AsFound;
        File(job, profile, new Condition(profile.Directions[0], profile.SpeedsCmPerS[^1]), mark, "tension",
            [new Instrument("tension gauge", "tension gauge of the bench, 200 gf", "invented")],
            [
                // With place, tone and tape setting, as the program files them: only so do decks stand side by side.
                Of("supply-tension", "gf", (found ? 78 : 64) + (found ? 14 : 2) * Normal(), 3) with { Place = "supply, half, forward" },
                Of("take-up-tension", "gf", (found ? 52 : 66) + (found ? 12 : 2) * Normal(), 3) with { Place = "take-up, half, forward" },
            ]
        );
        foreach (var direction in profile.Directions)
        {
            foreach (var speed in profile.SpeedsCmPerS)
            {
                var condition = new Condition(direction, speed);
                var slow = speed < 15 ? 1.35 : 1;
                File(job, profile, condition, mark, "speed", Leaning(RestorersTapes.Speed(speed).Name),
                [
                    Of("speed-error", "%", found ? 0.4 + 0.5 * hard * Normal() : 0.06 * Normal(), 0.025),
                    Of("wow-flutter-quasi-peak", "%", slow * (found ? 0.16 * hard : 0.062) * Math.Exp(0.15 * Normal()), 0.004),
                    Of("wow-flutter-rms", "%", slow * (found ? 0.11 * hard : 0.044) * Math.Exp(0.15 * Normal()), 0.003),
                ]);
                File(job, profile, condition, mark, "azimuth", Leaning(RestorersTapes.Levels(speed).Name),
                    [Of("azimuth-angle", "arcmin", (found ? 4 * Normal() : 0.6 * Normal()), 0.4)]);
                File(job, profile, condition, mark, "playback", Leaning(RestorersTapes.Levels(speed).Name),
                    [Of("channel-balance", "dB", found ? 0.9 * Normal() : 0.15 * Normal(), 0.05) with { FrequencyHz = ReferenceHz(speed) }]);
                File(job, profile, condition with { TapeSetting = profile.TapeSettings.FirstOrDefault() }, mark, "noise", Leaning(null),
                    [.. new[] { Channel.Left, Channel.Right }.Select(c => Of("signal-to-noise-a", "dB",
                        (found ? 57.5 : 61) - 2 * (slow - 1) / 0.35 + 0.7 * Normal(), 0.3) with { Channel = c })]);
            }
        }
    }

    private void File(Job job, DeckProfile profile, Condition condition, Mark mark, string measurement,
        IReadOnlyList<Instrument> leaning, Reading[] readings) => book.FileMeasurement(new Filing
        {
            JobId = job.Id,
            Condition = condition,
            Mark = mark,
            Capture = new Capture("", "", null, null, null),
            OpenCapture = null,
            Result = new MeasurementResult(measurement, readings,
            [new Note(NoteSeverity.Hint, "invented-history", $"These figures are {Invented}.")], []),
            Limits = profile.Limits,
            Instruments = leaning,
            MeasuredAt = clock.Time,
            ProgramVersion = ProgramVersion.Stamp,
        });

    private static double ReferenceHz(double speed) =>
        RestorersTapes.Levels(speed).Tones.First(t => t.Role == PracticeToneRole.Reference).FrequencyHz;

    private static Instrument[] Leaning(string? tape) =>
        [
            new Instrument("audio interface", BenchInterface.Name, "invented"),
            .. tape is null ? [] : new[] { new Instrument("test tape", tape, "invented") },
        ];

    private static Reading Of(string quantity, string unit, double value, double uncertainty) =>
        new() { Quantity = quantity, Value = Math.Round(value, 4), Unit = unit, Uncertainty = uncertainty, Method = Invented };

    private static string Faulty(string key) => key.Contains("-from-", StringComparison.Ordinal) ? "slow, and throws a loop"
        : key.Contains("lamps", StringComparison.Ordinal) ? "two are dark" : "works now and then";

    private double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
