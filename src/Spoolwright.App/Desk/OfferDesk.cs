using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>What is given by hand to weigh an offer with, where the book does not know it.</summary>
/// <param name="OtherCosts">Freight, fees and the like foreseen; null: the mean of earlier jobs.</param>
/// <param name="WantedHourly">What an hour should bring; null: the shop's own figure.</param>
/// <param name="Parts">Cost of parts where there is no earlier job.</param>
public sealed record OfferTerms(Money? OtherCosts = null, Money? WantedHourly = null, Money? Parts = null);

/// <summary>An offer as it was weighed.</summary>
/// <param name="Offer">The offer.</param>
/// <param name="Weighing">What it would bring.</param>
/// <param name="OtherCosts">Other costs that were reckoned with.</param>
/// <param name="WantedHourly">What an hour should bring.</param>
/// <param name="EarlierJobs">Closed jobs of the profile with timed hours.</param>
/// <param name="LeftOut">Earlier jobs or prices in another currency.</param>
public sealed record WeighedOffer(Offer Offer, OfferWeighing Weighing, Money OtherCosts, Money WantedHourly, int EarlierJobs, int LeftOut);

/// <summary>A job's money.</summary>
public sealed record JobMoney(Money Paid, Money Parts, Money Other, Money? Fetched, TimeSpan Hours, IReadOnlyList<string> PartsWithoutPrice)
{
    public Money? Margin => Fetched is { } price ? price - Paid - Parts - Other : null;

    /// <summary>Margin for each hour; null: not sold, or no hour was timed.</summary>
    public Money? Hourly => Margin is { } margin && Hours > TimeSpan.Zero
        ? new Money(Math.Round(margin.Amount / (decimal)Hours.TotalHours, 2), margin.Currency) : null;
}

/// <summary>Offers, prices, costs and sales.</summary>
public sealed class OfferDesk(ServiceBook book)
{
    /// <summary>Writes an offer down.</summary>
    public Offer Add(Offer offer) => book.Add(offer);

    /// <summary>Offers, oldest first.</summary>
    public IReadOnlyList<Offer> Offers() => book.Standing<Offer>();

    /// <summary>The offer whose number begins so.</summary>
    public Offer Find(string number)
    {
        ArgumentNullException.ThrowIfNull(number);
        var found = Offers().Where(o => Bench.Service.Checks.CheckBoard.ShortKey(o.Root)
            .StartsWith(number.Trim(), StringComparison.OrdinalIgnoreCase)).ToList();
        return found.Count == 1 ? found[0] : throw new EntryException(found.Count == 0 ? $"no offer begins with {number}"
            : $"{found.Count} offers begin with {number}; give more digits");
    }

    /// <summary>Puts what is known now in the place of what was known of an offer.</summary>
    public Offer Learn(Offer old, Func<Offer, Offer> learned)
    {
        ArgumentNullException.ThrowIfNull(old);
        ArgumentNullException.ThrowIfNull(learned);
        return book.Correct(old.Id, learned(old));
    }

    /// <summary>Weighs an offer by the shop's own earlier jobs and the prices in the book.</summary>
    public WeighedOffer Weigh(Offer offer, OfferTerms? terms = null)
    {
        ArgumentNullException.ThrowIfNull(offer);
        terms ??= new OfferTerms();
        var currency = offer.Asked.Currency;
        var offers = book.Look(w => w.Standing<Offer>(nameof(Offer.ProfileName), offer.ProfileName))
            .Where(o => o.JobId is not null)
            .ToLookup(o => o.JobId!.Value);
        var money = MoneyOf([.. book.SpentTimes(offer.ProfileName).Where(t => t.Spent > TimeSpan.Zero)], currency);
        var jobs = money.Where(m => m.Money is not null).Select(m => (m.JobId, Money: m.Money!)).ToList();
        var other =
            terms.OtherCosts
            ?? (jobs.Count == 0 ? Money.None(currency) : Money.Sum(jobs.Select(j => j.Money.Other), currency) * (1m / jobs.Count));
        foreach (
            var (given, of) in new[]
            {
                (terms.WantedHourly, "for an hour"),
                (terms.OtherCosts, "of other costs"),
                (terms.Parts, "for parts"),
            }
        )
        {
            if (given is { Amount: < 0 })
                throw new EntryException($"{given} {of} makes no sense; expected 0 or more");
        }

        var wanted = terms.WantedHourly ?? new ShopDesk(book).Facts.HourlyWanted ?? Money.None(currency);
        var listed = book.Look(w => w.Standing<PriceFetched>(nameof(PriceFetched.ProfileName), offer.ProfileName));
        FetchedPrice[] prices =
        [
            .. jobs.Where(j => j.Money.Fetched is not null)
                .Select(j => new FetchedPrice((double)j.Money.Fetched!.Value.Amount, offers[j.JobId].LastOrDefault())),
            .. listed.Where(p => p.Price.Currency == currency).Select(p => new FetchedPrice((double)p.Price.Amount, null)),
        ];
        var weighing = OfferWeighing.Of(
            offer, [.. jobs.Select(j => new EarlierJob(j.Money.Hours.TotalHours, (double)j.Money.Parts.Amount, offers[j.JobId]
                .LastOrDefault()))],
            prices, PlannedHours(offer.ProfileName), In(other, currency), In(wanted, currency), terms.Parts is { } parts
                ? In(parts, currency) : null);
        return new WeighedOffer(offer, weighing, other, wanted, jobs.Count, money.Count(m => m.Money is null)
            + listed.Count(p => p.Price.Currency != currency));
    }

    /// <summary>A job's costs, hours and what it fetched, in a currency.</summary>
    /// <exception cref="EntryException">Its amounts are of several currencies.</exception>
    public JobMoney MoneyOf(Guid jobId, string currency) =>
        MoneyOf(
            currency,
            book.Standing<JobCost>(jobId),
            new SupplyDesk(book).FittedIn(jobId),
            book.Standing<Sale>(jobId) is [.., var last] ? last.Price : null,
            new PlanDesk(book).Board(jobId).Spent
        );

    private static JobMoney MoneyOf(string currency, IEnumerable<JobCost> costs, IEnumerable<Fitted> parts, Money? sale, TimeSpan hours)
    {
        var (fitted, without) = Fitted.CostOf(parts, currency);
        Money Of(Func<JobCost, bool> which) => Money.Sum(costs.Where(which).Select(c => c.Amount), currency);
        if (sale is { } price && price.Currency != currency)
            throw new EntryException($"the deck fetched {price}, which cannot be reckoned in {currency}");
        return new JobMoney(Of(c => c.Kind == CostKind.Deck), fitted + Of(c => c.Kind == CostKind.Part),
            Of(c => c.Kind is not (CostKind.Deck or CostKind.Part)), sale, hours, without);
    }

    /// <summary>Writes a cost of a job down.</summary>
    public JobCost AddCost(Guid jobId, CostKind kind, Money amount, DateOnly day, string what) =>
        book.Add(new JobCost { JobId = jobId, Kind = kind, Amount = InShops(amount), Day = day, What = what });

    /// <summary>Puts a cost in the place of one that stands in this job; the earlier one stays in the book.</summary>
    public JobCost CorrectCost(Guid jobId, Guid cost, CostKind kind, Money amount, DateOnly day, string what) =>
        book.Work(w =>
            w.Get<JobCost>(cost) is var old && old.JobId == jobId
                ? w.Correct(cost, old with { Kind = kind, Amount = InShops(amount), Day = day, What = what })
                : throw new EntryException("that cost is of another job")
        );

    // Amounts of several currencies cannot be added: one foreign entry, and nothing is known of the whole job.
    private Money InShops(Money amount) =>
        new ShopDesk(book).Facts.Currency is var own && amount.Currency == own
            ? amount
            : throw new EntryException(
                $"{amount} is not in the shop's currency, in which a job is reckoned; give it in {own}, at the rate you paid"
            );

    /// <summary>Writes a price down that was fetched for such a deck.</summary>
    public PriceFetched AddPrice(string profile, Money price, DateOnly day, string source) =>
        book.Add(new PriceFetched { ProfileName = profile, Price = price, Day = day, Source = source });

    /// <summary>Writes a sale down; the buyer becomes the deck's owner.</summary>
    public Sale Sell(Job job, Money price, DateOnly day, string buyer, int? warrantyMonths = null, string? terms = null)
    {
        ArgumentNullException.ThrowIfNull(job);
        InShops(price);
        var shop = new ShopDesk(book).Facts;
        return book.Work(w =>
        {
            if (w.Standing<Sale>(job.Id).Count > 0)
                throw new EntryException("the deck was sold in this job already; take that back first");
            w.Add(new DeckOwner { DeckId = job.DeckId, Name = buyer, Since = day });
            return w.Add(new Sale
            {
                JobId = job.Id,
                Price = price,
                Day = day,
                Buyer = buyer,
                WarrantyMonths = warrantyMonths
                ?? shop.WarrantyMonths,
                Terms = terms ?? shop.WarrantyTerms
            });
        });
    }

    // Many jobs at once: each kind of entry is asked for in one go.
    private IReadOnlyList<(Guid JobId, JobMoney? Money)> MoneyOf(IReadOnlyList<(Guid JobId, TimeSpan Spent)> jobs, string currency)
    {
        var ids = jobs.Select(j => (object)j.JobId).ToList();
        var (costs, sales) = book.Look(w =>
            (
                w.Standing<JobCost>(nameof(JobCost.JobId), ids).ToLookup(c => c.JobId),
                w.Standing<Sale>(nameof(Sale.JobId), ids).ToLookup(s => s.JobId)
            )
        );
        var parts = new SupplyDesk(book).FittedIn(jobs.Select(j => j.JobId));
        return [.. jobs.Select(j =>
        {
            try
            {
                return (j.JobId, (JobMoney?)MoneyOf(currency, costs[j.JobId], parts[j.JobId], sales[j.JobId].LastOrDefault()?.Price, j.Spent));
            }
            catch (EntryException)
            {
                return (j.JobId, null); // of another currency: counted as left out
            }
        })];
    }

    private double PlannedHours(string profileName)
    {
        var text = book.LastDeck(profileName)?.ProfileJson
            ?? book.Look(w => w.Standing<ProfileText>(nameof(ProfileText.Name), profileName)).LastOrDefault()?.Json;
        var plan = (text is null ? null : DeckProfileFile.Parse(text).Value?.Plan) ?? PlanLibrary.Default;
        return plan.Tasks.Sum(t => t.Minutes) / 60.0;
    }

    private static double In(Money money, string currency) => money.Currency == currency || money.Amount == 0 ? (double)money.Amount
        : throw new EntryException($"{money} cannot be reckoned in {currency}; give it in {currency}");
}
