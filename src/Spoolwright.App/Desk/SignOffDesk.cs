using System.Security.Cryptography;
using System.Text;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Files;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>What came of checking a sealed sheet.</summary>
/// <param name="Whole">Whether everything that could be checked is as it was signed.</param>
/// <param name="Lines">What was checked, a line each.</param>
/// <param name="Seal">The sheet; null: it could not be read.</param>
public sealed record SealCheck(bool Whole, IReadOnlyList<string> Lines, RecordSeal? Seal);

/// <summary>Signing a job's record with the shop's key, and checking what was signed.</summary>
public sealed class SignOffDesk(ServiceBook book)
{
    /// <summary>Name of the sealed sheet beside the record's files.</summary>
    public const string SheetName = "sign-off.json";

    private static readonly string[] Files = ["record.json", "record.html", "record.pdf"];

    /// <summary>Makes a key in a new file that its owner alone may read. Returns its fingerprint.</summary>
    public static string NewKey(string path)
    {
        if (Path.Exists(path))
            throw new EntryException($"{path} is there already; name a new file, since no key is ever written over");
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows())
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        using var file = new FileStream(path, options);
        file.Write(Encoding.ASCII.GetBytes(key.ExportPkcs8PrivateKeyPem() + "\n"));
        return RecordSeal.FingerprintOf(key.ExportSubjectPublicKeyInfo());
    }

    /// <summary>The fingerprint of the key in a file.</summary>
    public static string Fingerprint(string path)
    {
        using var key = ReadKey(path);
        return RecordSeal.FingerprintOf(key.ExportSubjectPublicKeyInfo());
    }

    /// <summary>
    /// The record of a job with everything that the book knows beside the readings: doubts of instruments, accepted faults.
    /// </summary>
    public RecordData Record(Guid jobId, DateTimeOffset written, SealNote? seal = null) => Record(jobId, written, seal, weighed: true);

    /// <summary>The same without what ailed the deck, which takes time to weigh and stands in no listing.</summary>
    public RecordData RecordForListing(Guid jobId, SealNote? seal) => Record(jobId, book.Now, seal, weighed: false);

    private RecordData Record(Guid jobId, DateTimeOffset written, SealNote? seal, bool weighed)
    {
        var file = new InstrumentDesk(book).WithDoubts(book.ReadJob(jobId));
        // A profile that this version cannot read leaves the record with what was filed.
        var profile = DeckProfileFile.Parse(file.Deck.ProfileJson).Value;
        var checks = new CheckDesk(book).Board(jobId);
        var shop = book.Standing<ShopFacts>() is [.., var facts]
            ? facts.Place is { } place
                ? $"{facts.Name}, {place}"
                : facts.Name
            : null;
        return RecordComposer.Compose(
            file,
            Judge.Readings,
            written,
            ProgramVersion.Stamp,
            profile is null ? null : Expected(profile),
            shop
        ) with
        {
            AcceptedFaults = Accepted(checks),
            Seal = seal,
            // By the program's own priors: what the shop has learned since must not change what was signed.
            Ailments = weighed ? KnownAilments.Of(file) : null,
        };
    }

    /// <summary>What is left as it is, in the words that the buyer reads.</summary>
    public static IReadOnlyList<AcceptedFault> Accepted(CheckBoard checks)
    {
        ArgumentNullException.ThrowIfNull(checks);
        return
        [
            .. checks.Faults.Where(f => f.State == FaultState.Accepted).Select(f => new AcceptedFault($"{f.Assembly}, {f.What}", f.Words!)),
            .. checks
                .Checks.Where(c => c.Accepted is not null && c.AsLeft is not { Outcome: CheckOutcome.Works })
                .Select(c => new AcceptedFault(c.Check.Title, c.Accepted!.Words)),
            .. checks.SafetyTest is { State: TaskState.Skipped } test
                ? [new AcceptedFault("not tested for electrical safety", test.Remark ?? "no reason is given")]
                : Array.Empty<AcceptedFault>(),
        ];
    }

    /// <summary>Every condition of which a record must say something: each way and speed for playback, and in each tape setting for
    /// recording.</summary>
    private static Condition[] Expected(DeckProfile profile)
    {
        var played = profile.Directions.SelectMany(d => profile.SpeedsCmPerS.Select(v => new Condition(d, v))).ToList();
        return [.. played, .. played.SelectMany(c => profile.TapeSettings.Select(s => c with { TapeSetting = s }))];
    }

    /// <summary>
    /// The record as of now; where nothing has changed since it was signed, the signed one with its seal. A record that says something
    /// else must not show the seal.
    /// </summary>
    public RecordData RecordNow(Guid jobId)
    {
        if (Last(jobId) is { } signed)
        {
            var then = Record(jobId, signed.SignedAt, new SealNote(signed.SignedAt, signed.KeyFingerprint, signed.RecordSha256));
            if (HashOf(Encoding.UTF8.GetBytes(JsonRecord.Write(then))) == signed.RecordSha256)
                return then;
        }

        return Record(jobId, book.Now);
    }

    /// <summary>
    /// Signs a job's record: writes its data, page and print with the sealed sheet into a folder, and keeps the sheet in the book.
    /// </summary>
    /// <exception cref="EntryException">Open points block it (the message names the first), or the folder holds such files already.</exception>
    public SignOff Sign(Job job, string keyFile, string folder) => Sign(job, keyFile, folder, out _);

    /// <summary>The same, with the record as it was signed.</summary>
    public SignOff Sign(Job job, string keyFile, string folder, out RecordData signed)
    {
        ArgumentNullException.ThrowIfNull(job);
        if (new CheckDesk(book).Board(job.Id).OpenInWords is { } open)
            throw new EntryException($"{open}. Put it right, or accept it in words");
        using var key = ReadKey(keyFile);
        MustBeFree(folder);
        var now = book.Now;
        var at = now.AddTicks(-(now.Ticks % TimeSpan.TicksPerSecond));
        var record = Record(job.Id, at);
        var json = JsonRecord.Write(record);
        var hash = HashOf(Encoding.UTF8.GetBytes(json));
        var publicKey = key.ExportSubjectPublicKeyInfo();
        var sealedRecord = signed = record with { Seal = new SealNote(at, RecordSeal.FingerprintOf(publicKey), hash) };
        Directory.CreateDirectory(folder);
        File.WriteAllText(Path.Combine(folder, "record.json"), json);
        RecordFiles.Write(sealedRecord, Path.Combine(folder, "record.html"), Path.Combine(folder, "record.pdf"));
        var seal = new RecordSeal
        {
            Deck = $"{record.Deck.ProfileName}, serial number {record.Deck.SerialNumber}",
            Job = JobDesk.Number(job),
            Shop = new ShopDesk(book).Facts.Name,
            SignedAt = at,
            RecordSha256 = hash,
            Files = [.. Files.Select(n => new SealedFile(n, HashOf(Path.Combine(folder, n))))],
            PublicKey = publicKey,
        }.SignedBy(key);
        File.WriteAllText(Path.Combine(folder, SheetName), seal.ToJson());
        return book.Add(new SignOff
        {
            JobId = job.Id,
            RecordSha256 = hash,
            RecordJson = json,
            Sheet = seal.ToJson(),
            KeyFingerprint = seal.Fingerprint,
            SignedAt = at,
            SignedBy = seal.Shop,
        });
    }

    /// <summary>The last sign-off of a job; null: none.</summary>
    public SignOff? Last(Guid jobId) => book.Standing<SignOff>(jobId) is [.., var last] ? last : null;

    /// <summary>Checks a sealed sheet and the files beside it. Needs no book: anyone can.</summary>
    /// <param name="sheet">The sheet's file.</param>
    /// <param name="fingerprint">The fingerprint that the shop gave by another way; null: not compared.</param>
    public static SealCheck Check(string sheet, string? fingerprint)
    {
        var parsed = RecordSeal.Parse(File.ReadAllText(sheet));
        if (parsed.Value is not { } seal)
            return new SealCheck(false,
                [$"the sheet cannot be read as it was signed: {parsed.Problems.First(p => p.Severity == FileProblemSeverity.Error)}"],
                null);
        // Whose record it is comes first: a whole seal of another deck proves nothing of this one.
        var lines = new List<string> { $"deck: {seal.Deck}, job {seal.Job}" };
        var whole = seal.IsWhole();
        lines.Add(whole ? $"signature: whole, by the key {seal.Fingerprint}, dated {seal.SignedAt:yyyy-MM-dd HH:mm} UTC by {seal.Shop}"
            : "signature: broken; the sheet was changed, or signed by another key than it names");
        if (fingerprint is not null)
        {
            var same = Plain(fingerprint) == Plain(seal.Fingerprint);
            whole &= same;
            lines.Add(same ? "fingerprint: the one you gave" : $"fingerprint: not the one you gave ({fingerprint})");
        }

        foreach (var file in seal.Files)
        {
            var path = Path.Combine(Path.GetDirectoryName(Path.GetFullPath(sheet))!, file.Name);
            var found = !File.Exists(path) ? "missing beside the sheet" : HashOf(path) == file.Sha256 ? "as it was signed"
                : "changed since it was signed";
            whole &= found == "as it was signed";
            lines.Add($"{file.Name}: {found}");
        }

        return new SealCheck(whole, lines, seal);
    }

    // What was handed over and signed is never written over: the buyer's copy could no longer be held against it.
    private static void MustBeFree(string folder)
    {
        if (Files.Append(SheetName).Select(n => Path.Combine(folder, n)).FirstOrDefault(Path.Exists) is { } there)
            throw new EntryException($"{there} is there already, and what was signed is never written over; name a new folder");
    }

    private static string Plain(string fingerprint) => new([.. fingerprint.ToLowerInvariant().Where(char.IsAsciiHexDigit)]);

    private static string HashOf(byte[] bytes) => Convert.ToHexStringLower(SHA256.HashData(bytes));

    private static string HashOf(string path)
    {
        using var file = File.OpenRead(path);
        return Convert.ToHexStringLower(SHA256.HashData(file));
    }

    private static ECDsa ReadKey(string path)
    {
        if (!File.Exists(path))
            throw new EntryException($"there is no key's file {path}; name it, or make one with spoolwright shop key NEW.pem --new");
        var key = ECDsa.Create();
        try
        {
            key.ImportFromPem(File.ReadAllText(path));
            return key.KeySize == 256 ? key
                : throw new EntryException($"{path} holds another kind of key; make one with spoolwright shop key {path} --new");
        }
        catch (Exception e) when (e is CryptographicException or ArgumentException)
        {
            key.Dispose();
            throw new EntryException($"{path} holds no key of the shop's; make one with spoolwright shop key NEW.pem --new");
        }
    }
}
