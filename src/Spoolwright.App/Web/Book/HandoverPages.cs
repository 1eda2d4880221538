using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Field;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Web.Book;

/// <summary>Handing a deck over, and what comes after: signing the record, and later readings beside those as left.</summary>
internal static class HandoverPages
{
    public static IReadOnlyDictionary<string, Func<BookVisit, Written>> Verbs { get; } = new Dictionary<string, Func<BookVisit, Written>>
    {
        ["sign"] = Sign,
        ["fingerprint"] = v => new Written($"the key's fingerprint is {SignOffDesk.Fingerprint(KeyFile(v))}"),
    };

    public static BookPage Signing(BookVisit v)
    {
        var (job, deck) = v.Book.JobHead(v.Id("job"));
        var board = new CheckDesk(v.Book).Board(job.Id);
        var signed = v.Book.Standing<SignOff>(job.Id);
        var now = signed.Count == 0 ? null : new SignOffDesk(v.Book).RecordNow(job.Id);
        return new BookPage($"Signing off: {deck.ProfileName}, {deck.SerialNumber}")
        {
            Lines =
            [
                "The record is signed with the shop's own key, which lies in a file on the bench's computer and never in the book (spoolwright shop key NEW.pem --new makes one). Record and sealed sheet go into a folder there, to be handed over together.",
                RecordSeal.DoesNotProve,
                signed is [.., var last]
                    ? $"Signed {v.When(last.SignedAt)} by the key {last.KeyFingerprint}. {(now!.Seal is null ? "The record says something else since then, so it no longer shows that seal: sign it again." : "The record is as it was signed.")}"
                    : "Not signed yet.",
            ],
            Warnings =
                board.OpenPoints.Count > 0
                    ?
                    [
                        $"{board.OpenPoints.Count} points block it: put them right on the job's page, or accept them here in words that the buyer reads.",
                    ]
                    : [],
            Links =
            [
                new("the job", $"/book/job/{job.Id}"),
                new("listing", $"/book/listing/{job.Id}"),
                new("record", $"/record/{job.Id}", Apart: true),
            ],
            Tables =
            [
                new PageTable(
                    "open-points",
                    "What blocks it",
                    [new("of", "Of"), new("point", "Point")],
                    [.. board.OpenPoints.Select(p => new PageRow([p.Of, p.Text], p.Key))]
                )
                {
                    Empty = "Nothing blocks it.",
                },
                new PageTable(
                    "accepted",
                    "Accepted in words that the buyer reads",
                    [new("what", "What"), new("words", "In these words")],
                    [.. SignOffDesk.Accepted(board).Select(a => new PageRow([a.Of, a.Words]))]
                )
                {
                    Empty = "Nothing is accepted.",
                },
                new PageTable(
                    "signed",
                    "Signed",
                    [
                        new("when", "When"),
                        new("by", "By"),
                        new("fingerprint", "The key's fingerprint"),
                        new("sha256", "Hash of the record"),
                    ],
                    [.. signed.Reverse().Select(s => new PageRow([v.When(s.SignedAt), s.SignedBy, s.KeyFingerprint, s.RecordSha256]))]
                )
                {
                    Empty = "Nobody has signed it yet.",
                },
            ],
        };
    }

    public static BookPage Aftercare(BookVisit v)
    {
        var (job, deck) = v.Book.JobHead(v.Id("job"));
        var page = new BookPage($"Aftercare: {deck.ProfileName}, {deck.SerialNumber}")
        {
            Links = [new("the job", $"/book/job/{job.Id}"), new("the deck", $"/book/deck/{deck.Id}")],
        };
        Aftercare care;
        try
        {
            care = new FieldDesk(v.Book).Since(job);
        }
        catch (EntryException e)
        {
            // A deck that was not seen again still has a page, which says so.
            return page with { Lines = [$"Nothing to compare yet: {e.Message}."] };
        }

        var (from, to) = (care.Lines.Max(l => l.LeftAt), care.Lines.Max(l => l.LaterAt));
        var proven = care.Lines.Count(l => l.Proven);
        return page with
        {
            Lines =
            [
                $"As left on {v.When(from)[..10]}, and later on {v.When(to)[..10]}. {proven} of {care.Lines.Count} quantities have drifted for certain: by more than the uncertainty of both readings and of one's own repeating.",
                care.ServiceBy is not { } by ? "Nothing drifts towards a limit for certain."
                : by <= v.Today
                    ? $"Service now: {string.Join("; ", care.Lines.Where(l => l.LimitReached <= v.Today).Select(l => l.Key.Words))}."
                : $"Service again before {by:yyyy-MM-dd}, if it goes on so: a straight line through two readings, no more.",
            ],
            Tables =
            [
                new PageTable("drift", "Later beside as left",
                    [
                        new("quantity", "Quantity"),
                        new("unit", "Unit"),
                        new("as_left", "As left", ColumnKind.Figures),
                        new("later", "Later", ColumnKind.Figures),
                        new("change", "Change", ColumnKind.Figures),
                        new("uncertainty", "±", ColumnKind.Figures),
                        new("state", "Drift", ColumnKind.State),
                        new("limit_reached", "Limit reached"),
                    ],
                    [.. care.Lines.OrderByDescending(l => l.Proven).ThenBy(l => l.LimitReached ?? DateOnly.MaxValue).Select(Row)]),
            ],
        };
    }

    // No finer than two figures of the uncertainty: what is beyond them is nobody's.
    private static double? Known(double? value, DriftLine l) => l.Uncertainty is > 0 and var u && value is { } v
        ? Math.Round(v, Math.Clamp(1 - (int)Math.Floor(Math.Log10(u)), 0, 8)) : FieldPages.Round(value);

    private static PageRow Row(DriftLine l) =>
        new([
            l.Key.Words,
            l.Key.Unit,
            Known(l.Left.Value, l),
            Known(l.Later.Value, l),
            Known(l.Change, l),
            Known(l.Uncertainty, l),
            l.Proven ? "drifted"
            : l.Uncertainty is null ? "not known"
            : "not proven",
            l.LimitReached?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture) ?? (l.Proven ? "not within ten years" : null),
        ]);

    private static Written Sign(BookVisit v)
    {
        var (job, _) = v.Book.JobHead(v.Id("job"));
        var (key, folder) = (KeyFile(v), v.Need("folder", "the folder for record and sealed sheet"));
        var signed = new SignOffDesk(v.Book).Sign(job, key, folder);
        return new Written(
            $"signed by the key {signed.KeyFingerprint}; {Path.GetFullPath(folder)} holds record and sealed sheet, to be handed over together",
            signed
        );
    }

    private static string KeyFile(BookVisit v)
    {
        if (!v.IsHere)
            throw new EntryException("the key lies on the bench's computer: sign there, not from a tablet");
        var path = v.Need("key", "the key's file on this computer");
        return File.Exists(path) ? path : throw new EntryException($"there is no file {Path.GetFullPath(path)} on this computer");
    }
}
