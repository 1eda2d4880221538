using System.Data.Common;
using System.Globalization;
using System.Reflection;
using Dapper;
using Microsoft.Data.Sqlite;

namespace Spoolwright.Storage;

/// <summary>One numbered step of the schema. Steps only ever go forward; a released step is never edited.</summary>
/// <param name="Number">From 1, without gaps.</param>
/// <param name="Name">What it does, from the file's name.</param>
/// <param name="Sql">The statements.</param>
internal sealed record SchemaStep(int Number, string Name, string Sql);

/// <summary>
/// Brings a book to the newest schema. A step's file is <c>NNNN_name.sql</c> where every engine reads the same text, else
/// <c>NNNN_name.ENGINE.sql</c>, one for each engine.
/// </summary>
internal static class SchemaSteps
{
    public static IReadOnlyList<SchemaStep> For(string engine)
    {
        var steps = new List<SchemaStep>();
        var assembly = Assembly.GetExecutingAssembly();
        foreach (string resource in assembly.GetManifestResourceNames()
            .Where(n => n.StartsWith("Schema/", StringComparison.Ordinal)).Order(StringComparer.Ordinal))
        {
            string[] words = resource["Schema/".Length..].Split('.');
            if (words.Length == 3 && words[1] != engine)
                continue;
            using var reader = new StreamReader(assembly.GetManifestResourceStream(resource)!);
            steps.Add(new SchemaStep(int.Parse(words[0][..4], CultureInfo.InvariantCulture), words[0][5..], reader.ReadToEnd()));
        }

        for (int i = 0; i < steps.Count; i++)
        {
            if (steps[i].Number != i + 1)
                throw new InvalidOperationException($"schema step {i + 1} is missing for {engine}");
        }

        return steps;
    }

    /// <summary>
    /// Applies the steps that the book lacks, all in one transaction: a kill between two of them leaves the book as it was.
    /// The number is read again inside the transaction, since another bench may have been quicker.
    /// </summary>
    public static void Apply(DbConnection connection, IReadOnlyList<SchemaStep> steps, string book, DateTimeOffset now)
    {
        using var transaction = connection.BeginTransaction();
        connection.Execute("CREATE TABLE IF NOT EXISTS schema_step (number INTEGER PRIMARY KEY, name TEXT NOT NULL, applied TEXT NOT NULL)",
            transaction: transaction);
        int have = connection.ExecuteScalar<int>("SELECT COALESCE(MAX(number), 0) FROM schema_step", transaction: transaction);
        if (have > steps.Count)
        {
            throw new ServiceBookException("newer-book",
                $"The service book {book} was written by a newer program (schema {have}, this program knows {steps.Count}); use that program.");
        }

        foreach (SchemaStep step in steps.Skip(have))
        {
            connection.Execute(step.Sql, transaction: transaction);
            connection.Execute("INSERT INTO schema_step (number, name, applied) VALUES (@Number, @Name, @Applied)",
                new { step.Number, step.Name, Applied = StoredText.Time(now) }, transaction);
        }

        if (connection is SqliteConnection && connection.Query("PRAGMA foreign_key_check", transaction: transaction).Any())
        {
            throw new ServiceBookException("damaged",
                $"The service book {book} names rows that it does not hold, so its schema was left as it was. Restore the last backup beside it and compare.");
        }

        transaction.Commit();
    }
}
