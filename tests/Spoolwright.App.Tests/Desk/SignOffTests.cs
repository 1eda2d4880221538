using SkiaSharp;
using Spoolwright.App.Desk;
using Spoolwright.App.Tests.Cli;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Reports;

namespace Spoolwright.App.Tests.Desk;

/// <summary>Photos without their place, listing, sign-off that anyone can check.</summary>
public sealed class SignOffTests
{
    [Fact]
    public void SignOff_IsBlockedByOpenPoints_ThenChecked_AndAnyChangeShows()
    {
        using var shop = new Shop();
        var (checks, desk) = (new CheckDesk(shop.Book), new SignOffDesk(shop.Book));
        string key = Path.Combine(shop.Folder, "key.pem"), to = Path.Combine(shop.Folder, "handover"),
            sheet = Path.Combine(to, SignOffDesk.SheetName);
        var fingerprint = SignOffDesk.NewKey(key);
        if (!OperatingSystem.IsWindows())
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(key));
        var fault = checks.AddFault(shop.Job.Id, "case", "scratch on the lid", Mark.AsFound);
        Assert.Contains("scratch on the lid", Assert.Throws<EntryException>(() => desk.Sign(shop.Job, key, to)).Message,
            StringComparison.Ordinal);
        checks.Accept(shop.Job.Id, CheckBoard.ShortKey(fault.Id), "A scratch of 4 cm, as pictured.");
        foreach (var check in checks.Board(shop.Job.Id).Checks)
            checks.Tick(shop.Job.Id, check.Check.Key, Mark.AsLeft, check.Check.Key == "remote" ? CheckOutcome.NotTried
                : CheckOutcome.Works, check.Check.Key == "remote" ? "none at hand" : null);
        Assert.Contains("Remote", Assert.Throws<EntryException>(() => desk.Sign(shop.Job, key, to)).Message, StringComparison.Ordinal);
        checks.Accept(shop.Job.Id, "remote", "The socket was not tried.");

        // An open test for electrical safety is no small thing: done, or told to the buyer.
        Assert.Contains(
            "electrical safety",
            Assert.Throws<EntryException>(() => desk.Sign(shop.Job, key, to)).Message,
            StringComparison.Ordinal
        );
        checks.Accept(shop.Job.Id, JobTask.SafetyTest, "The buyer has it tested by his own electrician.");
        var signed = desk.Sign(shop.Job, key, to);
        Assert.Equal(fingerprint, signed.KeyFingerprint);
        var html = File.ReadAllText(Path.Combine(to, "record.html"));
        Assert.Contains(fingerprint, html, StringComparison.Ordinal);
        Assert.Contains("does not prove who holds the key", html, StringComparison.Ordinal);
        Assert.Contains("A scratch of 4 cm", html, StringComparison.Ordinal);
        Assert.Contains("not tested for electrical safety", html, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("740 2201", string.Join('\n', SignOffDesk.Check(sheet, fingerprint).Lines), StringComparison.Ordinal);

        Assert.True(SignOffDesk.Check(sheet, fingerprint).Whole);
        // Each way and speed as played, and as recorded in each tape setting, though nothing was measured.
        Assert.Equal(4 + (4 * 2), desk.Record(shop.Job.Id, shop.Book.Now).Conditions.Count);
        // Written again, the record is the signed one; once something has changed, it no longer shows the seal.
        shop.Clock.Wait(60);
        Assert.Equal(signed.RecordSha256, desk.RecordNow(shop.Job.Id).Seal!.DataSha256);
        checks.Accept(shop.Job.Id, CheckBoard.ShortKey(checks.Board(shop.Job.Id).Faults[0].Id), "Polished out.");
        Assert.Null(desk.RecordNow(shop.Job.Id).Seal);

        // Signed again, it goes beside: what was handed over stays as it was, to the byte.
        var kept = Directory.GetFiles(to).Order(StringComparer.Ordinal).Select(f => (f, Convert.ToHexString(File.ReadAllBytes(f)))).ToList();
        Assert.Equal(
            $"{Path.Combine(to, "record.json")} is there already, and what was signed is never written over; name a new folder",
            Assert.Throws<EntryException>(() => desk.Sign(shop.Job, key, to)).Message
        );
        Assert.Equal(kept, Directory.GetFiles(to).Order(StringComparer.Ordinal).Select(f => (f, Convert.ToHexString(File.ReadAllBytes(f)))));
        Assert.Equal(signed.Id, desk.Last(shop.Job.Id)!.Id);
        var second = Path.Combine(shop.Folder, "handover-2");
        Assert.NotEqual(signed.Id, desk.Sign(shop.Job, key, second).Id);
        Assert.True(SignOffDesk.Check(Path.Combine(second, SignOffDesk.SheetName), fingerprint).Whole);
        Assert.Equal(0, CliRun.Of("book", "verify", sheet, "--fingerprint", fingerprint.Replace(" ", "", StringComparison.Ordinal)
            .ToUpperInvariant()).Code);
        Assert.False(SignOffDesk.Check(sheet, "0000 0000 0000 0000 0000 0000 0000 0000").Whole);
        File.AppendAllText(Path.Combine(to, "record.html"), " ");
        var changed = CliRun.Of("book", "verify", sheet);
        Assert.Equal(1, changed.Code);
        Assert.Contains("record.html: changed since it was signed", changed.Output, StringComparison.Ordinal);
        File.Delete(Path.Combine(to, "record.html"));
        Assert.Contains(SignOffDesk.Check(sheet, null).Lines, l => l.Contains("missing", StringComparison.Ordinal));
        Assert.Equal(
            $"{key} is there already; name a new file, since no key is ever written over",
            Assert.Throws<EntryException>(() => SignOffDesk.NewKey(key)).Message
        );
        Assert.StartsWith(
            $"there is no key's file {key}.not",
            Assert.Throws<EntryException>(() => desk.Sign(shop.Job, key + ".not", to)).Message,
            StringComparison.Ordinal
        );
        File.WriteAllText(key, "no key");
        Assert.Throws<EntryException>(() => desk.Sign(shop.Job, key, to));
    }

    [Fact]
    public void Photo_TakenIn_LosesPlaceAndCamera_IsBoundedAndUpright()
    {
        using var shop = new Shop();
        var original = WithPlace(Jpeg(3000, 1500));
        Assert.Contains("Exif", System.Text.Encoding.Latin1.GetString(original), StringComparison.Ordinal);
        var desk = new PhotoDesk(shop.Book);
        var photo = desk.Add(shop.Job.Id, Mark.AsFound, "head block", "worn", original);
        var kept = desk.Picture(photo);
        var text = System.Text.Encoding.Latin1.GetString(kept.Jpeg);
        Assert.DoesNotContain("Exif", text, StringComparison.Ordinal);
        Assert.DoesNotContain("GPS-53.3N", text, StringComparison.Ordinal);
        // Orientation 6: the camera lay on its side, so what was wide stands upright now; red was left, and is on top.
        Assert.Equal((800, 1600), (kept.Width, kept.Height));
        using var seen = SKBitmap.Decode(kept.Jpeg);
        Assert.True(seen.GetPixel(400, 50) is { Red: > 200, Blue: < 60 }, seen.GetPixel(400, 50).ToString());
        Assert.True(seen.GetPixel(400, 1550) is { Blue: > 200, Red: < 60 });
        // The same picture twice is kept once.
        desk.Add(shop.Job.Id, Mark.AsLeft, "head block", null, original);
        Assert.Single(shop.Book.ReadTable("photo_image").Rows);
        Assert.Throws<EntryException>(() => desk.Add(shop.Job.Id, Mark.AsFound, "head block", null, [1, 2, 3]));
        Assert.Null(PictureIntake.Reencode([]));
        // Cut short on the card or on the way: half a picture is no evidence of the other half.
        Assert.Null(PictureIntake.Reencode(original[..(original.Length / 2)]));
    }

    [Fact]
    public void Listing_SaysWhatTheBookHolds_AndTheFactSheetShowsThePictures()
    {
        using var shop = new Shop();
        new PlanDesk(shop.Book).Done(shop.Job.Id, "clean-path", "tried out of order");
        new PhotoDesk(shop.Book).Add(shop.Job.Id, Mark.AsLeft, "front", null, Jpeg(400, 300));
        shop.Jobs.AddAccessory(shop.Job.Id, "two reel adapters", null);
        new ListingDesk(shop.Book).Keep(shop.Job.Id, "Deck <b>rebuilt</b>", "Runs like on its first day.", new Money(980, "EUR"));
        new ListingDesk(shop.Book).Keep(shop.Job.Id, "Deck <b>rebuilt</b> & measured", "Runs.", new Money(990, "EUR"));
        var listing = new ListingDesk(shop.Book).Of(shop.Job.Id, "sample.html");
        var text = ListingWriter.Text(listing);
        foreach (var said in new[] { "990.00 EUR", "clean: clean heads", "two reel adapters", "12 months. Parts and work",
            "not tried by a list", "tested for electrical safety with its covers on: open", "Reel Yard", "sample.html" })
            Assert.Contains(said, text, StringComparison.Ordinal);

        // Nothing that speaks against the deck is left out: an open fault, a function that fails, a part of a doubted lot.
        var checks = new CheckDesk(shop.Book);
        Assert.DoesNotContain("No fault is known", text, StringComparison.Ordinal);
        checks.AddFault(shop.Job.Id, "electronics", "hum in left", Mark.AsLeft);
        checks.Tick(shop.Job.Id, "remote", Mark.AsLeft, CheckOutcome.Fault, "plays by itself");
        var supplies = new SupplyDesk(shop.Book);
        var day = new DateOnly(2026, 1, 2);
        supplies.Keep("capstan belt", SupplyKind.Belt, "piece", 0);
        supplies.Receive("capstan belt", "a supplier", "HR-118", day, 3, null);
        supplies.Fit(shop.Job.Id, "capstan belt", 1, "capstan", day);
        supplies.Doubt("HR-118", "cracks");
        var honest = ListingWriter.Text(new ListingDesk(shop.Book).Of(shop.Job.Id));
        foreach (
            var said in new[]
            {
                "electronics: hum in left",
                "plays by itself",
                "capstan belt (capstan) is of a lot in doubt: cracks",
                "0 of 1 functions tried as left work; 59 were not tried",
            }
        )
            Assert.Contains(said, honest, StringComparison.Ordinal);
        var sheet = ListingWriter.FactSheet(listing);
        Assert.Contains("Deck &lt;b&gt;rebuilt&lt;/b&gt; &amp; measured", sheet, StringComparison.Ordinal);
        Assert.Contains("data:image/jpeg;base64,", sheet, StringComparison.Ordinal);
        Assert.Contains("img-src data:", sheet, StringComparison.Ordinal);
        Assert.DoesNotContain("<script", sheet, StringComparison.OrdinalIgnoreCase);
    }

    // Left half red, right half blue.
    private static byte[] Jpeg(int width, int height)
    {
        using var bitmap = new SKBitmap(width, height);
        using (var canvas = new SKCanvas(bitmap))
        {
            canvas.Clear(new SKColor(20, 20, 230));
            using var red = new SKPaint { Color = new SKColor(230, 20, 20) };
            canvas.DrawRect(0, 0, width / 2f, height, red);
        }

        using var image = SKImage.FromBitmap(bitmap);
        return image.Encode(SKEncodedImageFormat.Jpeg, 95).ToArray();
    }

    // An Exif block with orientation 6 and, in a remark, a place; little-endian TIFF with two entries.
    private static byte[] WithPlace(byte[] jpeg)
    {
        var tiff = new List<byte> { 0x49, 0x49, 0x2A, 0, 8, 0, 0, 0, 2, 0 };
        var place = System.Text.Encoding.ASCII.GetBytes("GPS-53.3N-6.2W\0");
        tiff.AddRange([0x0E, 0x01, 2, 0, (byte)place.Length, 0, 0, 0, 38, 0, 0, 0]); // ImageDescription at 38
        tiff.AddRange([0x12, 0x01, 3, 0, 1, 0, 0, 0, 6, 0, 0, 0]); // Orientation 6
        tiff.AddRange([0, 0, 0, 0]);
        tiff.AddRange(place);
        byte[] body = [.. "Exif\0\0"u8, .. tiff];
        var length = body.Length + 2;
        return [0xFF, 0xD8, 0xFF, 0xE1, (byte)(length >> 8), (byte)length, .. body, .. jpeg[2..]];
    }
}
