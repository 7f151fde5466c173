namespace NetAudit.Audits.Variants.Matching;

/// <summary>
/// What equal names say. Two drawings may share their reference designators, or use the same ones for other parts; how far they can be
/// relied on is estimated from the parts that structure alone makes sure of.
/// </summary>
/// <param name="Same">Log likelihood ratio of a pair with one name.</param>
/// <param name="Other">Log likelihood ratio of a pair with two names of which the first occurs in the second circuit too.</param>
internal readonly record struct NameEvidence(double Same, double Other)
{
    /// <summary>
    /// Strength of the assumption, before anything is matched, that names agree: as if three of four names had been seen to agree
    /// (common practice, no source).
    /// </summary>
    private const double PriorAgreeing = 3;
    private const double PriorCount = 4;

    /// <summary>Names are not looked at.</summary>
    public static NameEvidence None { get; } = new(0, 0);

    /// <summary>False when names say too little to look again because of them.</summary>
    public bool IsTelling => Same > 1;

    /// <summary>Names that agree in so many of the sure pairs whose first name occurs in both circuits.</summary>
    /// <param name="agreeing">Sure pairs with one name.</param>
    /// <param name="sure">Sure pairs.</param>
    /// <param name="names">Names in the second circuit.</param>
    public static NameEvidence Of(int agreeing, int sure, int names)
    {
        var share = (agreeing + PriorAgreeing) / (sure + PriorCount);
        var chance = 1.0 / Math.Max(2, names);
        share = Math.Clamp(share, chance, 0.98);
        return new(Math.Log(share / chance), Math.Log((1 - share) / (1 - chance)));
    }
}
