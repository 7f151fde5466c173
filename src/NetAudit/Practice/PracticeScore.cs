namespace NetAudit.Practice;

/// <summary>What a search was worth, 0 to 100: full marks for no more readings than the program itself takes, less for every one more.</summary>
/// <param name="Readings">Readings taken.</param>
/// <param name="Looks">How often the program's answer was looked at.</param>
/// <param name="WrongNames">Times that a wrong part was named.</param>
/// <param name="IsFound">True when the faults were named in the end.</param>
/// <param name="Own">Readings the program itself took; null when it did not find them.</param>
public sealed record PracticeScore(int Readings, int Looks, int WrongNames, bool IsFound, int? Own)
{
    /// <summary>A look at the program's answer counts as so many readings.</summary>
    public const int ReadingsPerLook = 3;

    /// <summary>A wrong name counts as so many points.</summary>
    public const int PointsPerWrongName = 20;

    /// <summary>Readings with which a search is compared when the program did not find the faults.</summary>
    private const int Usual = 10;

    /// <summary>The points.</summary>
    public int Points
    {
        get
        {
            if (!IsFound)
            {
                return 0;
            }
            double least = Math.Max(1, Own ?? Usual);
            var used = Math.Max(least, Readings + ReadingsPerLook * Looks);
            var points = 100 * least / used - PointsPerWrongName * WrongNames;
            return (int)Math.Round(Math.Max(0, points));
        }
    }
}
