using System.Security.Cryptography;
using System.Text;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Bench.Tests.Levels;

namespace Spoolwright.Bench.Tests.Service;

public sealed class RecordSealTests
{
    [Fact]
    public void Sheet_Signed_IsWhole_AndAnyChangeBreaksIt()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var sheet = Sheet(key).ToJson();
        Assert.True(RecordSeal.Parse(sheet).Value!.IsWhole());
        Assert.Contains("does not prove who holds the key", sheet, StringComparison.Ordinal);
        foreach (var (from, to) in new[] { ("Marrowby", "Marrowbz"), (new string('a', 64), new string('a', 63) + "b"),
            ("record.html", "record.htm"), ("17:00:00Z", "17:00:01Z"), ("Reel Yard", "Real Yard") })
        {
            var changed = RecordSeal.Parse(sheet.Replace(from, to, StringComparison.Ordinal)).Value;
            Assert.False(changed is { } read && read.IsWhole(), from);
        }

        Assert.Null(RecordSeal.Parse(sheet.Replace("\"job\"", "\"note\": \"tested twice\",\n  \"job\"", StringComparison.Ordinal)).Value);
        Assert.Null(RecordSeal.Parse(sheet.Replace("does not prove who", "proves who", StringComparison.Ordinal)).Value);
    }

    [Fact]
    public void Sheet_WithAnotherKeyPutIn_DoesNotKeepItsFingerprint()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        using var other = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var forged = Sheet(other);
        Assert.True(forged.IsWhole());
        Assert.NotEqual(Sheet(key).Fingerprint, forged.Fingerprint);
        var pretending = forged.ToJson().Replace(forged.Fingerprint, Sheet(key).Fingerprint, StringComparison.Ordinal);
        Assert.Contains(RecordSeal.Parse(pretending).Problems,
            p => p.Text.Contains("not that of the public key", StringComparison.Ordinal));
        Assert.False((Sheet(key) with { PublicKey = [1, 2, 3] }).IsWhole());
    }

    [Fact]
    public void Signature_IsTheOneThatOpenSslChecks()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var seal = Sheet(key);
        var folder = Directory.CreateTempSubdirectory("spoolwright-seal-");
        try
        {
            string At(string name) => Path.Combine(folder.FullName, name);
            File.WriteAllText(At("text"), seal.Signed, new UTF8Encoding(false));
            File.WriteAllText(At("key.pem"), PemEncoding.WriteString("PUBLIC KEY", seal.PublicKey));
            // OpenSSL wants r and s in DER.
            File.WriteAllBytes(At("signature"), Der(seal.Signature));
            Assert.Contains("Verified OK", Outside.Run("openssl", "/usr/bin/openssl", "dgst", "-sha256", "-verify", At("key.pem"),
                "-signature", At("signature"), At("text")), StringComparison.Ordinal);
        }
        finally
        {
            folder.Delete(recursive: true);
        }

        static byte[] Der(byte[] rs)
        {
            var writer = new System.Formats.Asn1.AsnWriter(System.Formats.Asn1.AsnEncodingRules.DER);
            using (writer.PushSequence())
            {
                writer.WriteIntegerUnsigned(Trim(rs.AsSpan(0, 32)));
                writer.WriteIntegerUnsigned(Trim(rs.AsSpan(32, 32)));
            }

            return writer.Encode();
        }

        static ReadOnlySpan<byte> Trim(ReadOnlySpan<byte> number) => number.TrimStart((byte)0);
    }

    private static RecordSeal Sheet(ECDsa key) => new RecordSeal
    {
        Deck = "Marrowby 74 R, 740 1183",
        Job = "3f2a77d0",
        Shop = "Reel Yard",
        SignedAt = new DateTimeOffset(2026, 3, 26, 17, 0, 0, TimeSpan.Zero),
        RecordSha256 = new string('a', 64),
        Files = [new SealedFile("record.html", new string('b', 64))],
        PublicKey = key.ExportSubjectPublicKeyInfo(),
    }.SignedBy(key);
}
