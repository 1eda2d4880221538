using System.Data.Common;
using System.Globalization;
using System.Reflection;
using Dapper;

namespace Spoolwright.Storage;

/// <summary>One numbered step of the schema. Steps only ever go forward; a released step is never edited.</summary>
/// <param name="Number">Its number; gaps are allowed, so that two branches may each take a range.</param>
/// <param name="Name">What it does, from the file's name.</param>
/// <param name="Sql">The statements, as the engine reads them.</param>
internal sealed record SchemaStep(int Number, string Name, string Sql);

/// <summary>
/// Brings a book to the newest schema. A step's file is <c>NNNN_name.sql</c> where every engine reads the same text, else
/// <c>NNNN_name.ENGINE.sql</c>, one for each engine. <see cref="SchemaText"/> says what is put into an engine's own words on the way.
/// </summary>
internal static class SchemaSteps
{
    public static IReadOnlyList<SchemaStep> For(string engine)
    {
        var steps = new List<SchemaStep>();
        var names = new Dictionary<int, string>();
        var assembly = Assembly.GetExecutingAssembly();
        foreach (string resource in assembly.GetManifestResourceNames()
            .Where(n => n.StartsWith("Schema/", StringComparison.Ordinal)).Order(StringComparer.Ordinal))
        {
            string[] words = resource["Schema/".Length..].Split('.');
            int number = int.Parse(words[0][..4], CultureInfo.InvariantCulture);
            if (!names.TryAdd(number, words[0]) && names[number] != words[0])
                throw new InvalidOperationException($"two schema steps have the number {number}: {names[number]} and {words[0]}");
            if (words.Length == 3 && words[1] != engine)
                continue;
            using var reader = new StreamReader(assembly.GetManifestResourceStream(resource)!);
            steps.Add(new SchemaStep(number, words[0][5..], SchemaText.For(engine, reader.ReadToEnd())));
        }

        if (names.Keys.Except(steps.Select(s => s.Number)).Order().FirstOrDefault() is > 0 and var missing)
            throw new InvalidOperationException($"schema step {names[missing]} is missing for {engine}");
        return steps;
    }

    /// <summary>The numbers of the steps that a book has had.</summary>
    public static IReadOnlySet<int> Had(DbConnection connection, DbTransaction? transaction) =>
        connection.Query<int>("SELECT number FROM schema_step", transaction: transaction).ToHashSet();

    /// <summary>
    /// Applies the steps that the book lacks, in the order of their numbers, within the caller's transaction: a kill between two of them
    /// leaves the book as it was.
    /// The numbers are read inside it, since another bench may have been quicker.
    /// </summary>
    /// <exception cref="ServiceBookException">A newer program has written the book.</exception>
    public static void Apply(
        DbConnection connection,
        DbTransaction transaction,
        IReadOnlyList<SchemaStep> steps,
        string book,
        DateTimeOffset now
    )
    {
        connection.Execute("CREATE TABLE IF NOT EXISTS schema_step (number INTEGER PRIMARY KEY, name TEXT NOT NULL, applied TEXT NOT NULL)",
            transaction: transaction);
        var had = Had(connection, transaction);
        if (had.Except(steps.Select(s => s.Number)).Order().FirstOrDefault() is > 0 and var unknown)
        {
            throw new ServiceBookException(
                "newer-book",
                $"The service book {book} was written by a newer program (this one does not know schema step {unknown}); use that program."
            );
        }

        foreach (SchemaStep step in steps.Where(s => !had.Contains(s.Number)))
        {
            connection.Execute(step.Sql, transaction: transaction);
            connection.Execute("INSERT INTO schema_step (number, name, applied) VALUES (@Number, @Name, @Applied)",
                new { step.Number, step.Name, Applied = StoredText.Time(now) }, transaction);
        }
    }
}
