using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Routing;

namespace Spoolwright.App.Web.Book;

/// <summary>Addresses of the service book's calls. What writes is a POST, so that the doorman asks for the bench's own pages.</summary>
internal static class BookRoutes
{
    public static void Map(IEndpointRouteBuilder app, BookShelf shelf)
    {
        void Page(string address, Func<BookVisit, BookPage> page) => app.MapGet("/api/book/" + address, BookVisit.Ask(shelf, page));
        void Write(string address, IReadOnlyDictionary<string, Func<BookVisit, Written>> verbs) =>
            app.MapPost($"/api/book/{address}/{{verb}}", BookVisit.Write(shelf, verbs));

        Page("job/{job:guid}", JobPage.Of);
        Write("job/{job:guid}", JobWrites.Verbs);
        Page("money/{job:guid}", PaperPages.Money);
        Page("photos/{job:guid}", PaperPages.Photos);
        Page("listing/{job:guid}", PaperPages.Listing);
        Page("signing/{job:guid}", HandoverPages.Signing);
        Write("signing/{job:guid}", HandoverPages.Verbs);
        Page("aftercare/{job:guid}", HandoverPages.Aftercare);
        app.MapPost("/api/book/photo/{job:guid}", PaperPages.AddPhoto(shelf));
        app.MapGet("/api/book/photo/{sha256}", BookVisit.Answer(shelf, PaperPages.Photo));
        app.MapGet("/record/{job:guid}/sheet", BookVisit.Answer(shelf, PaperPages.Sheet));

        Page("decks", DeckPages.List);
        Write("decks", DeckPages.ListVerbs);
        Page("deck/{deck:guid}", DeckPages.One);
        Write("deck/{deck:guid}", DeckPages.Verbs);
        Page("offers", OfferPages.List);
        Write("offers", OfferPages.ListVerbs);
        Page("offer/{offer:guid}", OfferPages.Weigh);
        Write("offer/{offer:guid}", OfferPages.Verbs);
        Page("parts", SupplyPages.Stock);
        Write("parts", SupplyPages.Verbs);
        app.MapGet("/api/book/lot/{number}", BookVisit.Ask(shelf, v => SupplyPages.Lot(v, v.Route("number"))));
        Page("instruments", InstrumentPages.List);
        Write("instruments", InstrumentPages.ListVerbs);
        Page("instrument/{instrument:guid}", InstrumentPages.One);
        Write("instrument/{instrument:guid}", InstrumentPages.Verbs);
        Page("kinds", FieldPages.Kinds);
        Page("field/{profile}", v => FieldPages.One(v, v.Route("profile")));
        app.MapGet("/api/book/plots", BookVisit.Answer(shelf, FieldPages.Plots));
        app.MapGet("/record/field", BookVisit.Answer(shelf, FieldPages.Report));

        var causes = new CausePages(shelf.Learner);
        Page("ails/{job:guid}", causes.Of);
        Page("causes", causes.Priors);
        Page("symptoms", SymptomPages.List);

        Page("search", BookPages.Search);
        Page("lately", BookPages.Lately);
        Page("plans", BookPages.Plans);
        Page("shop", BookPages.Shop);
        Page("tables", BookPages.Tables);
        Write("book", BookPages.Verbs);
        app.MapGet("/api/book/plan", BookVisit.Answer(shelf, BookPages.PlanFileOf));
        app.MapGet("/api/book/profile", BookVisit.Answer(shelf, BookPages.ProfileFileOf));
        app.MapGet("/api/book/table/{name}", BookVisit.Answer(shelf, BookPages.Table));
    }
}
