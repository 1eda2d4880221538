using Spoolwright.Bench.Causes;

namespace Spoolwright.App.Web.Book;

/// <summary>The trade's symptom table, asked by words.</summary>
internal static class SymptomPages
{
    public static BookPage List(BookVisit v)
    {
        var question = v.Query("q").Trim();
        var found = SymptomBook.Find(question.Length > 200 ? question[..200] : question);
        return new BookPage(question.Length == 0 ? "What you see and hear" : $"What you see and hear: “{question}”")
        {
            Lines =
            [
                "What is marked [memory] is known in the trade and was found in no document. Measure before you adjust, change one thing, measure the same again.",
            ],
            Warnings = ["Mains and stored charge: leave work on them to those licensed for it."],
            Tables =
            [
                new PageTable(
                    "symptoms",
                    "Symptoms",
                    [
                        new("said", "You see or hear"),
                        new("means", "It is likely"),
                        new("try", "What tells"),
                        new("readings", "Readings tell of"),
                        new("tag", "Rests on"),
                    ],
                    [.. found.Select(s => new PageRow([s.Said, s.Means, s.Try, Names(s), $"[{s.Tag}]"]))]
                )
                {
                    Empty = "No row holds all of these words.",
                },
            ],
        };
    }

    private static string Names(Symptom symptom) => symptom.Causes.Count == 0 ? "no reading: eyes, ears, a meter"
        : string.Join("; ", symptom.Causes.Select(id => CauseBook.Default.Causes.First(c => c.Id == id).Name));
}
