using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;
using Microsoft.CodeAnalysis.CSharp;

namespace NetAudit.Mutation;

/// <summary>A copy of the library with slips woven in, built once, beside a copy of the tests.</summary>
internal static partial class MutatedLibrary
{
    private const int MostBuilds = 10;

    private static readonly string Sources = Repository.At(
        "tests",
        "NetAudit.Mutation",
        "obj",
        "library"
    );
    private static readonly string Output = Repository.At(
        "tests",
        "NetAudit.Mutation",
        "obj",
        "built"
    );

    /// <summary>The folder of the tests that use it.</summary>
    public static string Tests { get; } =
        Repository.At("tests", "NetAudit.Tests", "bin", "Mutation");

    /// <summary>Weaves the slips in and builds; returns the numbers of those that compile.</summary>
    /// <param name="mutants">The slips; a slip's number is its place.</param>
    public static IReadOnlySet<int> Build(IReadOnlyList<Mutant> mutants)
    {
        if (Directory.Exists(Sources))
        {
            Directory.Delete(Sources, recursive: true);
        }
        Repository.Copy(Repository.At("src", "NetAudit"), Sources, "bin", "obj");
        File.Copy(
            Repository.At("tests", "NetAudit.Mutation", "MutantSwitch.cs.txt"),
            Path.Combine(Sources, "MutantSwitch.cs")
        );
        var left = Enumerable.Range(0, mutants.Count).ToHashSet();
        for (var build = 0; build < MostBuilds; build++)
        {
            Weave(mutants, left);
            var wrong = Compile().ToHashSet();
            if (wrong.Count == 0)
            {
                Repository.Copy(
                    Repository.At("tests", "NetAudit.Tests", "bin", "Release", "net10.0"),
                    Tests
                );
                File.Copy(
                    Path.Combine(Output, "NetAudit.dll"),
                    Path.Combine(Tests, "NetAudit.dll"),
                    overwrite: true
                );
                return left;
            }
            left.ExceptWith(wrong);
        }
        throw new InvalidOperationException(
            $"after {MostBuilds} builds there are slips left that do not compile"
        );
    }

    private static void Weave(IReadOnlyList<Mutant> mutants, HashSet<int> left)
    {
        foreach (
            var file in mutants
                .Select((mutant, id) => (Mutant: mutant, Id: id))
                .GroupBy(slip => slip.Mutant.File)
        )
        {
            var root = CSharpSyntaxTree
                .ParseText(File.ReadAllText(Repository.At(file.Key)))
                .GetRoot();
            var slips = file.Where(slip => left.Contains(slip.Id))
                .ToLookup(slip => slip.Mutant.Span, slip => (slip.Id, slip.Mutant));
            File.WriteAllText(Woven(file.Key), new Weaver(slips).Visit(root)!.ToFullString());
        }
    }

    private static string Woven(string file) =>
        Path.Combine(
            Sources,
            Path.GetRelativePath(Repository.At("src", "NetAudit"), Repository.At(file))
        );

    // The numbers of the slips that the compiler objects to.
    private static IEnumerable<int> Compile()
    {
        var start = new ProcessStartInfo("dotnet")
        {
            WorkingDirectory = Sources,
            RedirectStandardOutput = true,
            ArgumentList =
            {
                "build",
                "NetAudit.csproj",
                "-c",
                "Release",
                "-o",
                Output,
                "-v",
                "q",
                "--nologo",
                "-p:TreatWarningsAsErrors=false",
                "-p:WarningLevel=0",
                "-p:GenerateDocumentationFile=false",
            },
        };
        using var process = Process.Start(start)!;
        var log = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        var errors = CompilerError().Matches(log);
        if (process.ExitCode != 0 && errors.Count == 0)
        {
            throw new InvalidOperationException(log);
        }
        return errors.SelectMany(error =>
            Weaver.At(
                CSharpSyntaxTree.ParseText(File.ReadAllText(error.Groups[1].Value)),
                int.Parse(error.Groups[2].Value, CultureInfo.InvariantCulture),
                int.Parse(error.Groups[3].Value, CultureInfo.InvariantCulture)
            )
        );
    }

    [GeneratedRegex(@"^\s*(\S+\.cs)\((\d+),(\d+)\): error", RegexOptions.Multiline)]
    private static partial Regex CompilerError();
}
