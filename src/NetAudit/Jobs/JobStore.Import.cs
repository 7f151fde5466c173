using System.Security.Cryptography;
using System.Text;
using NetAudit.Jobs.Storage;

namespace NetAudit.Jobs;

/// <content>Taking in jobs from elsewhere.</content>
public sealed partial class JobStore
{
    /// <summary>
    /// Takes in a job that <see cref="JobImport"/> read. It gets a number of this store; the same job taken in again without a change
    /// is found to be there already, and its number is returned.
    /// </summary>
    public Kept Import(Job job)
    {
        ArgumentNullException.ThrowIfNull(job);
        var origin = Convert.ToHexStringLower(
            SHA256.HashData(Encoding.UTF8.GetBytes(JobExport.ToText(job)))
        );
        long number = 0;
        var failed = _database.Write(transaction =>
        {
            number =
                transaction.Scalar(
                    "SELECT number FROM job WHERE origin = $origin",
                    ("$origin", origin)
                ) as long?
                ?? 0;
            if (number != 0)
            {
                return;
            }
            number = transaction.InsertJob(
                JobTime.Write(job.Opened),
                JobTime.Write(_clock.GetUtcNow()),
                job.State,
                job.Circuit,
                origin
            );
            foreach (var (field, text) in job.Fields)
            {
                transaction.SetField(number, field.Name(), text);
            }
            foreach (var check in job.Checks)
            {
                transaction.SetCheck(number, check);
            }
            foreach (var reading in job.Readings)
            {
                transaction.InsertReading(number, reading);
            }
            foreach (var step in job.Steps)
            {
                transaction.InsertStep(number, step);
            }
            foreach (var price in job.Prices)
            {
                transaction.InsertPrice(number, price);
            }
            foreach (var caution in job.Cautions)
            {
                transaction.InsertCaution(number, caution);
            }
        });
        return failed is null ? new Kept(number, null) : new Kept(0, failed);
    }
}
