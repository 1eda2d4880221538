using Dapper;
using Spoolwright.Bench.Service.Checks;

namespace Spoolwright.Storage;

/// <summary>A picture as the book keeps it: re-encoded, without the camera's own data.</summary>
/// <param name="Sha256">Hash of <paramref name="Jpeg"/>, lower-case hexadecimal.</param>
/// <param name="Width">Pixels.</param>
/// <param name="Height">Pixels.</param>
/// <param name="Jpeg">The picture.</param>
public sealed record PhotoImage(string Sha256, int Width, int Height, byte[] Jpeg);

/// <content>Photos: the entry and its picture in one transaction.</content>
public sealed partial class ServiceBook
{
    /// <summary>Files a photo; the same picture is kept once.</summary>
    public Photo AddPhoto(Photo photo, PhotoImage image)
    {
        ArgumentNullException.ThrowIfNull(photo);
        ArgumentNullException.ThrowIfNull(image);
        if (photo.Sha256 != image.Sha256)
            throw new ArgumentException($"the photo names {photo.Sha256}, its picture has the hash {image.Sha256}", nameof(photo));
        Photo? filed = null;
        Write(
            (c, t) =>
            {
                c.Execute(
                    "INSERT INTO photo_image (sha256, width, height, jpeg) VALUES (@Sha256, @Width, @Height, @Jpeg) ON CONFLICT DO NOTHING",
                    image,
                    t
                );
                filed = new BookWork(c, t, clock, Name, Stamp()).Add(photo);
            }
        );
        return filed!;
    }

    /// <summary>The picture of a photo.</summary>
    /// <exception cref="ServiceBookException"><c>not-found</c>.</exception>
    public PhotoImage ReadPhoto(string sha256) => With(c => c.QuerySingleOrDefault<(string Sha256, int Width, int Height, byte[] Jpeg)?>(
        "SELECT sha256, width, height, jpeg FROM photo_image WHERE sha256 = @sha256", new { sha256 }) is { } row
            ? new PhotoImage(row.Sha256, row.Width, row.Height, row.Jpeg)
            : throw new ServiceBookException("not-found", $"The service book {Name} holds no photo with the hash {sha256}."));
}
