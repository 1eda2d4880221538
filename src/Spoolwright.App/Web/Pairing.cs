using System.Security.Cryptography;
using System.Text;
using Microsoft.AspNetCore.Http;

namespace Spoolwright.App.Web;

/// <summary>
/// Pairs a tablet with the bench: a code that this machine shows is typed in on the tablet, once, within minutes and a few tries; the
/// tablet then holds a cookie until the bench ends or twelve hours have gone.
/// </summary>
internal sealed class Pairing(TimeProvider clock)
{
    /// <summary>Name of the cookie.</summary>
    public const string Cookie = "spoolwright-tablet";

    /// <summary>How long a code may be used.</summary>
    public static readonly TimeSpan CodeLife = TimeSpan.FromMinutes(5);

    /// <summary>How long a paired tablet stays so.</summary>
    public static readonly TimeSpan TabletLife = TimeSpan.FromHours(12);

    private const int MostTries = 5;
    private const int MostTablets = 4;
    private const int Digits = 8;
    private readonly Lock _lock = new();
    private readonly Dictionary<string, DateTimeOffset> _tablets = new(StringComparer.Ordinal);
    private string? _code;
    private DateTimeOffset _until;
    private int _tries;

    /// <summary>A new code; the one before it is void.</summary>
    public string NewCode()
    {
        lock (_lock)
        {
            (_code, _until, _tries) = (RandomNumberGenerator.GetString("0123456789", Digits), clock.GetUtcNow() + CodeLife, 0);
            return _code;
        }
    }

    /// <summary>Takes a code as typed: the cookie's value where it is right, else null. A right code is used up; five wrong ones use it up
    /// too.</summary>
    public string? Redeem(string typed)
    {
        lock (_lock)
        {
            if (_code is not { } code || clock.GetUtcNow() > _until || ++_tries > MostTries)
            {
                _code = null;
                return null;
            }

            var plain = string.Concat(typed.Where(char.IsAsciiDigit));
            if (!CryptographicOperations.FixedTimeEquals(Encoding.ASCII.GetBytes(plain), Encoding.ASCII.GetBytes(code)))
                return null;
            _code = null;
            var token = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(32));
            foreach (
                var old in _tablets.OrderBy(t => t.Value).Take(Math.Max(0, _tablets.Count - MostTablets + 1)).Select(t => t.Key).ToArray()
            )
                _tablets.Remove(old);
            _tablets.Add(token, clock.GetUtcNow() + TabletLife);
            return token;
        }
    }

    /// <summary>Whether a request comes from a paired tablet.</summary>
    public bool Knows(HttpRequest request)
    {
        if (request.Cookies[Cookie] is not { Length: 64 } token)
            return false;
        lock (_lock)
            return _tablets.TryGetValue(token, out var until) && clock.GetUtcNow() < until;
    }
}
