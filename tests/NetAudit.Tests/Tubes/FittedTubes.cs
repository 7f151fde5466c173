using NetAudit.Benchmarks.TubeFits;

namespace NetAudit.Tests.Tubes;

/// <summary>The published figures and the laws fitted to them, once for all tests.</summary>
internal static class FittedTubes
{
    public static ReferenceData Data { get; } = ReferenceData.Load();

    public static TubeLibrary Library { get; } = TubeLibrary.Fit(Data);

    public static IEnumerable<string> Types =>
        Library
            .Triodes.Select(pair => pair.Type)
            .Concat(Library.Pentodes.Select(pair => pair.Type))
            .Concat(Library.Rectifiers.Select(pair => pair.Type));
}
