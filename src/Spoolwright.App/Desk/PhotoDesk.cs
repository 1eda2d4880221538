using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>Photos by assembly.</summary>
public sealed class PhotoDesk(ServiceBook book)
{
    /// <summary>
    /// Takes a photo in: scaled down, and encoded anew so that nothing of the camera's own data stays, its place least of all.
    /// </summary>
    /// <exception cref="EntryException">It is no picture, or too large a file.</exception>
    public Photo Add(Guid jobId, Mark mark, string assembly, string? caption, byte[] bytes)
    {
        ArgumentNullException.ThrowIfNull(bytes);
        var picture =
            PictureIntake.Reencode(bytes)
            ?? throw new EntryException(
                $"this is no picture that can be read whole (JPEG, PNG or WebP, at most {PictureIntake.MostBytes >> 20} MB)"
            );
        return book.AddPhoto(
            new Photo { JobId = jobId, Mark = mark, Assembly = assembly, Caption = caption, Sha256 = picture.Sha256 },
            new PhotoImage(picture.Sha256, picture.Width, picture.Height, picture.Jpeg));
    }

    /// <summary>A job's photos, oldest first.</summary>
    public IReadOnlyList<Photo> Photos(Guid jobId) => book.Standing<Photo>(jobId);

    /// <summary>The picture of a photo.</summary>
    public PhotoImage Picture(Photo photo)
    {
        ArgumentNullException.ThrowIfNull(photo);
        return book.ReadPhoto(photo.Sha256);
    }
}
