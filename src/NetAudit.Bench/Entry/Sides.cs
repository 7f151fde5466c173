using NetAudit.Expectations;

namespace NetAudit.Bench.Entry;

/// <summary>On which side of its limits a reading lies; said by word and shape, colour only adds.</summary>
internal static class Sides
{
    /// <summary><c>low</c>, <c>within</c> or <c>high</c>.</summary>
    public static string Of(double value, ExpectedReading expected) =>
        value < expected.Low ? "low"
        : value > expected.High ? "high"
        : "within";

    /// <summary>The side in words.</summary>
    public static string Word(string side) =>
        side switch
        {
            "low" => "low",
            "high" => "high",
            "within" => "within limits",
            _ => "",
        };

    /// <summary>The side as a shape.</summary>
    public static string Mark(string side) =>
        side switch
        {
            "low" => "▼",
            "high" => "▲",
            "within" => "●",
            _ => "○",
        };
}
