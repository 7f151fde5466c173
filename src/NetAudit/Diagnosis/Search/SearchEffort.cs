namespace NetAudit.Diagnosis.Search;

/// <summary>How much of the search is done: the numbers of sets that are looked at closer.</summary>
internal sealed record SearchEffort
{
    /// <summary>As a diagnosis is meant to be.</summary>
    public static SearchEffort Full { get; } = new();

    /// <summary>A first word, in a fraction of the time: the likeliest singles and pairs only.</summary>
    public static SearchEffort Quick { get; } =
        new()
        {
            RefinedSingles = 8,
            MostRefinedSingles = 8,
            RefinedBesideSlips = 2,
            EvaluatedSets = 8,
            EvaluatedSums = 8,
            RefinedSets = 4,
            AdditiveBases = 3,
            Alone = 40,
            Unseen = 6,
            BesideSlip = 6,
            Paired = 200,
            Pairs = 16,
            FewReadings = 0,
            Polishes = false,
        };

    /// <summary>Singles that are refined at least; few readings leave many alike, and all within so many nats of the best are refined.</summary>
    public int RefinedSingles { get; init; } = 40;

    /// <summary>Singles that are refined at most.</summary>
    public int MostRefinedSingles { get; init; } = 300;

    /// <summary>Further singles that are refined because they would be among the best if their worst reading were a slip.</summary>
    public int RefinedBesideSlips { get; init; } = 12;

    /// <summary>Foretold sets that are evaluated.</summary>
    public int EvaluatedSets { get; init; } = 120;

    /// <summary>Sets foretold by sums of effects that are evaluated.</summary>
    public int EvaluatedSums { get; init; } = 50;

    /// <summary>Evaluated sets that are refined.</summary>
    public int RefinedSets { get; init; } = 40;

    /// <summary>Best singles whose pairs are also foretold by adding known effects.</summary>
    public int AdditiveBases { get; init; } = 60;

    /// <summary>Single faults chosen by what they explain alone.</summary>
    public int Alone { get; init; } = 160;

    /// <summary>Single faults evaluated that no reading sees: each is as probable as its share of all faults.</summary>
    public int Unseen { get; init; } = 24;

    /// <summary>Single faults chosen by what they would explain if one reading were a slip.</summary>
    public int BesideSlip { get; init; } = 40;

    /// <summary>Faults whose pairs are looked at.</summary>
    public int Paired { get; init; } = 640;

    /// <summary>Pairs chosen.</summary>
    public int Pairs { get; init; } = 160;

    /// <summary>With fewer readings nearly everything is unseen, and all of it is evaluated.</summary>
    public int FewReadings { get; init; } = 6;

    /// <summary>Whether neighbours of the best sets are tried at the end.</summary>
    public bool Polishes { get; init; } = true;
}
