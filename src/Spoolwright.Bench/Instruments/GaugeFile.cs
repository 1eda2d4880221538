using Spoolwright.Bench.Files;
using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Instruments;

/// <summary>Reads the file that a person makes while calibrating a gauge with weights.</summary>
public static class GaugeFile
{
    private static readonly string[] Kinds = ["tension", "force", "torque"];

    /// <summary>
    /// Reads a gauge. Bad text never throws: every problem is listed with its line and column. Comments and trailing commas are allowed; an
    /// unknown property is only warned of, since people add remarks.
    /// </summary>
    /// <param name="json">The file's text.</param>
    public static ParsedFile<Gauge> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var root = LocatedJson.Read(json, problems);
        var gauge = root is null ? null : Read(root, problems);
        return new ParsedFile<Gauge>(problems.HasErrors ? null : gauge, problems.InOrder());
    }

    private static Gauge? Read(JsonPart root, ProblemList problems)
    {
        if (
            ObjectFields.Of(
                root,
                problems,
                "a gauge {\"name\": …, \"kind\": …, \"unit\": …, \"scaleEnd\": …, \"readTo\": …, \"points\": […]}"
            )
            is not { } fields
        )
            return null;
        var name = fields.Text("name", required: true);
        var kindWord = fields.Word("kind", Kinds, required: true);
        var kind = kindWord is null ? GaugeKind.Tension : (GaugeKind)Array.IndexOf(Kinds, kindWord);
        var dimension = kind == GaugeKind.Torque ? Dimension.Torque : Dimension.Force;
        var unit = UnitOf(fields, dimension);
        var end = fields.Number("scaleEnd", new NumberRange(0.001, 1e6, ""), required: true);
        var readTo = fields.Number("readTo", NumberRange.Positive(1e6, ""), required: true);
        var tape = fields.Text("tape");
        var gravity = fields.Number("localGravity", new NumberRange(9.76, 9.84, "m/s²"));
        var date = fields.Text("date");
        var common = AmountFields.Read(fields, "weightUncertainty", [dimension], null);
        if (kind == GaugeKind.Tension && tape is null && fields.Any("tape") is null && kindWord is not null)
            problems.Error(
                root,
                "\"tape\" is missing: a tension gauge is calibrated on the kind of tape that will run, whose stiffness is in every reading"
            );
        if (readTo > end / 2)
            problems.Error(
                fields.Any("readTo")!,
                $"the step {Quoted.Number(readTo.Value)} is more than half of the scale, which ends at {Quoted.Number(end!.Value)}"
            );
        if (readTo < end / 1e5)
            problems.Error(
                fields.Any("readTo")!,
                $"no scale that ends at {Quoted.Number(end!.Value)} is read to {Quoted.Number(readTo!.Value)}"
            );
        var points = unit is null ? [] : ReadPoints(fields, unit, end, common);
        fields.ReportUnknown(FileProblemSeverity.Warning);
        if (problems.HasErrors)
            return null;
        var gauge = new Gauge
        {
            Name = name!,
            Kind = kind,
            Unit = unit!,
            ScaleEnd = end!.Value,
            ReadTo = readTo!.Value,
            Tape = tape,
            LocalGravity = gravity,
            Date = date,
            Points = points,
        };
        if (GaugeCurve.Refusal(gauge) is { } refusal)
        {
            problems.Error(fields.Any("points")!, refusal);
            return null;
        }

        return gauge;
    }

    private static Unit? UnitOf(ObjectFields fields, Dimension dimension)
    {
        if (fields.Text("unit", required: true) is not { } text)
            return null;
        if (Unit.Find(text) is { } unit && unit.Dimension == dimension)
            return unit;
        fields.Problems.Error(
            fields.Any("unit")!,
            $"expected a unit of {dimension.ToString().ToLowerInvariant()} ({Unit.Known(dimension)}), found {Quoted.Text(text)}"
        );
        return null;
    }

    private static List<GaugePoint> ReadPoints(ObjectFields gauge, Unit unit, double? end, Amount? common)
    {
        var problems = gauge.Problems;
        var points = new List<GaugePoint>();
        foreach (var part in gauge.Items("points", required: true))
        {
            if (ObjectFields.Of(part, problems, "a point {\"weight\": …, \"up\": […], \"down\": […]}") is not { } fields)
                continue;
            var weight = AmountFields.Read(fields, "weight", [unit.Dimension], unit, required: true);
            var uncertainty = AmountFields.Read(fields, "uncertainty", [unit.Dimension], unit) ?? common;
            var (up, down) = (Readings(fields, "up", end), Readings(fields, "down", end));
            fields.ReportUnknown(FileProblemSeverity.Warning);
            if (weight is null)
                continue;
            if (weight.Value <= 0)
                problems.Error(fields.Any("weight")!, $"expected a weight above 0, found {weight}");
            if (uncertainty is null && fields.Any("uncertainty") is null)
                problems.Error(
                    part,
                    "how sure the weight is does not stand here: give \"uncertainty\" (k = 2, such as \"0.2 g\"), or \"weightUncertainty\" once for all"
                );
            else if (uncertainty is { Value: < 0 })
                problems.Error(part, $"expected an uncertainty of 0 or more, found {uncertainty}");
            else if (uncertainty?.In(unit) > weight.In(unit) / 2)
                problems.Error(part, $"an uncertainty of {uncertainty} leaves {weight} no weight to calibrate with");
            points.Add(new GaugePoint(weight.In(unit), uncertainty?.In(unit), up, down));
        }

        return points;
    }

    private static List<double> Readings(ObjectFields fields, string name, double? end)
    {
        var read = new List<double>();
        foreach (var part in fields.Items(name, required: true))
        {
            if (ObjectFields.NumberOf(part, new NumberRange(0, end ?? 1e6, "on the scale"), fields.Problems) is { } number)
                read.Add(number);
        }

        return read;
    }
}
