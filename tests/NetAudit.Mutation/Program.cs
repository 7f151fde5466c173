using System.Collections.Concurrent;
using System.Globalization;
using Microsoft.CodeAnalysis.CSharp;
using NetAudit.Mutation;

// SEED COUNT FOLDER...   so many slips of each folder of src/NetAudit, drawn by the seed, each alone under the tests about that folder
if (args is not [var seedWord, var countWord, _, ..])
{
    Console.Error.WriteLine(
        "SEED COUNT FOLDER...: for example 1 100 Netlists Simulation Diagnosis"
    );
    return 2;
}
var seed = int.Parse(seedWord, CultureInfo.InvariantCulture);
var count = int.Parse(countWord, CultureInfo.InvariantCulture);

var drawn = args[2..]
    .SelectMany(folder => Draw(folder).Select(mutant => (Folder: folder, Mutant: mutant)))
    .ToArray();
var compiled = MutatedLibrary.Build([.. drawn.Select(one => one.Mutant)]);
Console.WriteLine($"{compiled.Count} of {drawn.Length} compile");
foreach (var folder in args[2..])
{
    Try(folder, [.. compiled.Where(id => drawn[id].Folder == folder).Order()]);
}
return 0;

Mutant[] Draw(string folder)
{
    Mutant[] all =
    [
        .. Directory
            .EnumerateFiles(
                Repository.At("src", "NetAudit", folder),
                "*.cs",
                SearchOption.AllDirectories
            )
            .Select(Repository.Relative)
            .Where(file => !file.Contains("Generated", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal)
            .SelectMany(file =>
                Slips.In(
                    file,
                    CSharpSyntaxTree.ParseText(File.ReadAllText(Repository.At(file))).GetRoot()
                )
            ),
    ];
    new Random(seed).Shuffle(all);
    Console.WriteLine($"{folder}: {Math.Min(count, all.Length)} of {all.Length} slips");
    return all[..Math.Min(count, all.Length)];
}

void Try(string folder, int[] ids)
{
    var tests = new TestRun(folder);
    var (seen, time) = tests.Watch();
    var most = TimeSpan.FromSeconds(30) + 5 * time;
    var ends = new ConcurrentBag<(bool IsKilled, bool IsSeen)>();
    Parallel.ForEach(
        ids,
        new ParallelOptions { MaxDegreeOfParallelism = 2 },
        id =>
        {
            var isSeen = seen.Contains(id);
            var isKilled = isSeen && tests.With(id, most) != TestOutcome.Passed;
            ends.Add((isKilled, isSeen));
            if (!isKilled)
            {
                Console.WriteLine(
                    $"{(isSeen ? "survived" : "no test comes by")}: {drawn[id].Mutant}"
                );
            }
        }
    );
    var killed = ends.Count(end => end.IsKilled);
    var unseen = ends.Count(end => !end.IsSeen);
    Console.WriteLine(
        string.Create(
            CultureInfo.InvariantCulture,
            $"{folder}: {killed} of {ids.Length} killed ({100.0 * killed / Math.Max(1, ids.Length):0} %), {ids.Length - killed - unseen} survived, {unseen} that no test comes by; the tests take {time.TotalSeconds:0} s"
        )
    );
}
