using System.Security.Cryptography;
using System.Text;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Service.Trade;

/// <summary>A file that a sealed sheet vouches for.</summary>
public sealed record SealedFile(string Name, string Sha256);

/// <summary>
/// A sheet that vouches for a record: what it is of, the hashes of its data and files, and a signature by the shop's key over all of it.
/// Anyone can check it with the program.
/// </summary>
public sealed record RecordSeal
{
    /// <summary>What a sheet does not prove; stands in every one.</summary>
    public const string DoesNotProve =
        "This signature proves that whoever holds the key named here signed these hashes, and that the files have not changed since. It does not prove who holds the key, "
        + "when it was signed, or that the figures are true: compare the fingerprint with one that the shop gave you by another way.";

    public required string Deck { get; init; }

    public required string Job { get; init; }

    public required string Shop { get; init; }

    public required DateTimeOffset SignedAt { get; init; }

    /// <summary>SHA-256 of the record's data as the book keeps it.</summary>
    public required string RecordSha256 { get; init; }

    public required IReadOnlyList<SealedFile> Files { get; init; }

    /// <summary>The shop's public key, DER (SubjectPublicKeyInfo).</summary>
    public required byte[] PublicKey { get; init; }

    /// <summary>ECDSA P-256 over SHA-256 of <see cref="Signed"/>, 64 bytes r and s.</summary>
    public byte[] Signature { get; init; } = [];

    /// <summary>First half of the SHA-256 of the public key, in groups of four.</summary>
    public string Fingerprint => FingerprintOf(PublicKey);

    /// <summary>The text that is signed: the sheet without its signature.</summary>
    public string Signed => Write(signed: false);

    /// <summary>The sheet as a file.</summary>
    public string ToJson() => Write(signed: true);

    /// <summary>Signs with a private key.</summary>
    public RecordSeal SignedBy(ECDsa key)
    {
        ArgumentNullException.ThrowIfNull(key);
        return this with { Signature = key.SignData(Encoding.UTF8.GetBytes(Signed), HashAlgorithmName.SHA256) };
    }

    /// <summary>Whether the signature is that of the public key over this sheet.</summary>
    public bool IsWhole()
    {
        try
        {
            using var key = ECDsa.Create();
            key.ImportSubjectPublicKeyInfo(PublicKey, out var read);
            return read == PublicKey.Length && key.KeySize == 256
                && key.VerifyData(Encoding.UTF8.GetBytes(Signed), Signature, HashAlgorithmName.SHA256);
        }
        catch (CryptographicException)
        {
            return false;
        }
    }

    /// <summary>A key's fingerprint.</summary>
    public static string FingerprintOf(byte[] publicKey)
    {
        var hex = Convert.ToHexStringLower(SHA256.HashData(publicKey))[..32];
        return string.Join(' ', Enumerable.Range(0, 8).Select(i => hex.Substring(4 * i, 4)));
    }

    /// <summary>Reads a sheet.</summary>
    public static ParsedFile<RecordSeal> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var root = LocatedJson.Read(json, problems);
        var seal = root is null ? null : Read(root, problems);
        return new ParsedFile<RecordSeal>(problems.HasErrors ? null : seal, problems.InOrder());
    }

    private static RecordSeal? Read(JsonPart root, ProblemList problems)
    {
        if (ObjectFields.Of(root, problems, "a sealed sheet {\"deck\": …, \"signature\": …}") is not { } fields)
            return null;
        var (deck, job, shop, record) = (fields.Text("deck", true), fields.Text("job", true), fields.Text("shop", true),
            fields.Text("recordSha256", true));
        var (key, signature, signedAt) = (Bytes(fields, "publicKey"), Bytes(fields, "signature"), fields.Text("signedAt", true));
        var (fingerprint, disclaimer) = (fields.Text("fingerprint", true), fields.Text("doesNotProve", true));
        // Both are read by people before a program checks the sheet, so neither may say anything else.
        if (key is not null && fingerprint is not null && fingerprint != FingerprintOf(key))
            problems.Error(fields.Any("fingerprint")!, $"is not that of the public key, which is {FingerprintOf(key)}");
        if (disclaimer is not null && disclaimer != DoesNotProve)
            problems.Error(fields.Any("doesNotProve")!, "these words were changed");
        var files = new List<SealedFile>();
        foreach (var part in fields.Items("files"))
        {
            if (ObjectFields.Of(part, problems, "a file {\"name\": …, \"sha256\": …}") is not { } file
                || (file.Text("name", true), file.Text("sha256", true)) is not ({ } name, { } hash))
                continue;
            if (name.AsSpan().IndexOfAny('/', '\\') >= 0 || name.StartsWith('.'))
                problems.Error(part, $"{Quoted.Text(name)} is no plain file name");
            file.ReportUnknown();
            files.Add(new SealedFile(name, hash));
        }

        // Whatever is not known is not signed either, so it must not stand there.
        fields.ReportUnknown();
        if (!DateTimeOffset.TryParseExact(signedAt, "yyyy-MM-dd'T'HH:mm:ss'Z'", System.Globalization.CultureInfo.InvariantCulture,
            System.Globalization.DateTimeStyles.AssumeUniversal, out var at))
            problems.Error(root, "\"signedAt\" is no time such as 2026-03-26T17:00:00Z");
        return problems.HasErrors || key is null || signature is null ? null
            : new RecordSeal
            {
                Deck = deck!,
                Job = job!,
                Shop = shop!,
                RecordSha256 = record!,
                SignedAt = at,
                Files = files,
                PublicKey = key,
                Signature = signature
            };
    }

    private static byte[]? Bytes(ObjectFields fields, string name)
    {
        var text = fields.Text(name, required: true);
        if (text is null)
            return null;
        var bytes = new byte[text.Length];
        if (Convert.TryFromBase64String(text, bytes, out var length))
            return bytes[..length];
        fields.Problems.Error(fields.Any(name)!, "expected bytes in base64");
        return null;
    }

    private string Write(bool signed) => JsonFields.Write(json =>
    {
        json.WriteString("deck", Deck);
        json.WriteString("job", Job);
        json.WriteString("shop", Shop);
        json.WriteString("signedAt", SignedAt.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'",
            System.Globalization.CultureInfo.InvariantCulture));
        json.WriteString("recordSha256", RecordSha256);
        json.WriteList("files", Files, (j, f) =>
        {
            j.WriteStartObject();
            j.WriteString("name", f.Name);
            j.WriteString("sha256", f.Sha256);
            j.WriteEndObject();
        });
        json.WriteString("publicKey", Convert.ToBase64String(PublicKey));
        json.WriteString("fingerprint", Fingerprint);
        json.WriteString("doesNotProve", DoesNotProve);
        if (signed)
            json.WriteString("signature", Convert.ToBase64String(Signature));
    });
}
